//! The pictures of the document.
