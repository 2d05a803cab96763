//! The sheet as a back end of plotters: its whole numbers are tenths of a point.

use std::convert::Infallible;

use plotters_backend::text_anchor::{HPos, VPos};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
    FontTransform,
};

use super::paper::{Anchor, Paper, area};
use super::paper::{FAINT, INK, MESH, Pen, WHITE, pen};
use super::words::width;

/// Units of plotters in a point.
pub(crate) const TENTHS: i32 = 10;

/// A sheet that plotters draws on.
#[derive(Debug)]
pub(crate) struct Easel<'a>(pub(crate) &'a mut Paper);

type DrawResult = Result<(), DrawingErrorKind<Infallible>>;

fn points(at: i32) -> f64 {
    f64::from(at) / f64::from(TENTHS)
}

fn both(at: BackendCoord) -> (f64, f64) {
    (points(at.0), points(at.1))
}

/// The inks of the sheet as plotters knows them.
fn ink(colour: BackendColor) -> &'static str {
    [INK, FAINT, MESH, super::paper::WATER, super::paper::DEEP, WHITE]
        .into_iter()
        .find(|ink| super::ink::rgb(ink) == colour.rgb)
        .unwrap_or(INK)
}

fn stroke<S: BackendStyle>(style: &S) -> Pen {
    pen(ink(style.color()), f64::from(style.stroke_width()) / f64::from(TENTHS))
}

fn unseen<S: BackendStyle>(style: &S) -> bool {
    style.color().alpha <= 0.0
}

impl DrawingBackend for Easel<'_> {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        let (w, h) = self.0.size();
        (w * TENTHS.unsigned_abs(), h * TENTHS.unsigned_abs())
    }

    fn ensure_prepared(&mut self) -> DrawResult {
        Ok(())
    }

    fn present(&mut self) -> DrawResult {
        Ok(())
    }

    fn draw_pixel(&mut self, point: BackendCoord, color: BackendColor) -> DrawResult {
        let (x, y) = both(point);
        if color.alpha > 0.0 {
            self.0.rect(area(x, y, 0.1, 0.1), ink(color), None);
        }
        Ok(())
    }

    fn draw_line<S: BackendStyle>(&mut self, from: BackendCoord, to: BackendCoord, style: &S) -> DrawResult {
        if !unseen(style) {
            self.0.line(both(from), both(to), stroke(style));
        }
        Ok(())
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        upper_left: BackendCoord,
        bottom_right: BackendCoord,
        style: &S,
        fill: bool,
    ) -> DrawResult {
        if unseen(style) {
            return Ok(());
        }
        let ((x, y), (right, bottom)) = (both(upper_left), both(bottom_right));
        let area = area(x, y, right - x, bottom - y);
        if fill {
            self.0.rect(area, ink(style.color()), None);
        } else {
            self.0.rect(area, "none", Some(stroke(style)));
        }
        Ok(())
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> DrawResult {
        if !unseen(style) {
            let points: Vec<(f64, f64)> = path.into_iter().map(both).collect();
            self.0.path(&points, stroke(style));
        }
        Ok(())
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        center: BackendCoord,
        radius: u32,
        style: &S,
        fill: bool,
    ) -> DrawResult {
        if unseen(style) {
            return Ok(());
        }
        let radius = f64::from(radius) / f64::from(TENTHS);
        if fill {
            self.0.circle(both(center), radius, ink(style.color()), None);
        } else {
            self.0.circle(both(center), radius, WHITE, Some(stroke(style)));
        }
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        vert: I,
        style: &S,
    ) -> DrawResult {
        if !unseen(style) {
            let points: Vec<(f64, f64)> = vert.into_iter().map(both).collect();
            self.0.shape(&points, ink(style.color()), None);
        }
        Ok(())
    }

    fn draw_text<S: BackendTextStyle>(&mut self, text: &str, style: &S, pos: BackendCoord) -> DrawResult {
        let size = style.size() / f64::from(TENTHS);
        let anchor = match style.anchor().h_pos {
            HPos::Left => Anchor::Start,
            HPos::Center => Anchor::Middle,
            HPos::Right => Anchor::End,
        };
        let down = match style.anchor().v_pos {
            VPos::Top => 0.76,
            VPos::Center => 0.36,
            VPos::Bottom => -0.22,
        } * size;
        let (x, y) = both(pos);
        match style.transform() {
            FontTransform::Rotate270 => self.0.upwards((x + down, y), size, anchor, text),
            _ => self.0.words((x, y + down), size, anchor, text),
        }
        Ok(())
    }

    fn estimate_text_size<S: BackendTextStyle>(
        &self,
        text: &str,
        style: &S,
    ) -> Result<(u32, u32), DrawingErrorKind<Infallible>> {
        let wide = width(text, style.size(), false).ceil().clamp(0.0, 1e6);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "tenths of a point")]
        Ok((wide as u32, style.size().ceil().clamp(0.0, 1e6) as u32))
    }

    fn blit_bitmap(&mut self, _pos: BackendCoord, _size: (u32, u32), _src: &[u8]) -> DrawResult {
        Ok(())
    }
}
