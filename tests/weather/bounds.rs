//! How much is read at most, and that a refusal names the limit.

use dryspell_weather::{ErrorKind, MOST_BYTES, Options, read_file};
use std::path::PathBuf;

#[test]
fn a_file_beyond_a_gibibyte_is_refused_with_the_limit_before_it_is_read() {
    // A file with a hole takes no room on the disk.
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("huge.csv");
    std::fs::File::create(&path).unwrap().set_len(MOST_BYTES + 1).unwrap();
    let error = read_file(&path, &Options::default()).unwrap_err();
    std::fs::remove_file(&path).unwrap();
    assert_eq!(*error.kind(), ErrorKind::FileTooLarge { limit_bytes: 1_073_741_824 });
    assert!(error.to_string().ends_with(
        "huge.csv: larger than 1024 MiB; weather files of at most 1024 MiB (1073741824 bytes) are accepted; give one \
         file a year, or leave out unused columns"
    ));
}
