//! Head by flow of a centrifugal pump, at rated speed and at others.

use crate::fault::{Fault, FaultKind, Faults};
use crate::root::falling_root;

/// What the maker says of the head at rated speed.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub enum RatedCurve {
    /// The head at the rated flow alone.
    OnePoint {
        /// Head at the rated flow, m.
        head_m: f64,
    },
    /// Rows of flow, m³/h, and head, m, flows rising from zero, heads falling.
    Points(Vec<(f64, f64)>),
}

/// Head by flow of a centrifugal pump.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | q | flow at rated speed | m³/h | 0 to the last flow |
/// | h | head at rated speed | m | |
/// | n | speed over rated speed | – | ≥ 0 |
///
/// # Equation
/// - One point `(q*, h*)`: `h = 4/3 h* − (h*/3) (q/q*)²`, zero at `2 q*`.
/// - Three points, the first at no flow: `h = A − B q^C` through them.
/// - Two, four or more: linear interpolation between them.
///
/// At speed n the head at a flow Q is `n² h(Q/n)`.
///
/// # Validity
/// Nothing beyond the last flow: the one-point rule ends at zero head, tables at their last row.
///
/// # Example
/// ```
/// use dryspell::pump::{HeadCurve, RatedCurve};
/// let curve = HeadCurve::new(1.0, &RatedCurve::OnePoint { head_m: 60.0 }).map_err(|f| f[0].to_string())?;
/// assert!((curve.head_m(0.0) - 80.0).abs() < 1e-12 && (curve.head_m(1.5) - 35.0).abs() < 1e-12);
/// # Ok::<(), String>(())
/// ```
///
/// # References
/// L. A. Rossman et al., *EPANET 2.2 User Manual*, US EPA (2020), section 3.1, pump curves. The manual's extrapolation past
/// the greatest flow is not copied.
#[derive(Debug, Clone, PartialEq)]
pub struct HeadCurve {
    law: Law,
    last_flow: f64,
}

#[derive(Debug, Clone, PartialEq)]
enum Law {
    Power { a: f64, b: f64, c: f64 },
    Lines(Vec<(f64, f64)>),
}

impl HeadCurve {
    /// The curve.
    ///
    /// # Errors
    /// Values out of range, or heads that do not fall with flow.
    pub fn new(rated_flow_m3_per_h: f64, rated: &RatedCurve) -> Result<Self, Faults> {
        let fault = |key: &str, found: String, accepted: &str, way_out: &str| {
            Err(Faults::from(Fault::at_key(
                format!("pump.{key}"),
                FaultKind::OutOfRange,
                found,
                accepted,
                way_out,
            )))
        };
        let q = rated_flow_m3_per_h;
        if !(q.is_finite() && q > 0.0) {
            return fault("rated_flow", format!("rated flow {q} m³/h"), "above 0", "correct the value");
        }
        match rated {
            RatedCurve::OnePoint { head_m } => {
                if !(head_m.is_finite() && *head_m > 0.0) {
                    let found = format!("rated head {head_m} m");
                    return fault("rated_head", found, "above 0 m", "correct the value");
                }
                let law = Law::Power { a: 4.0 / 3.0 * head_m, b: head_m / (3.0 * q * q), c: 2.0 };
                Ok(Self { law, last_flow: 2.0 * q })
            }
            RatedCurve::Points(points) => {
                let falls = points.len() >= 2
                    && points.iter().all(|(q, h)| q.is_finite() && h.is_finite() && *h >= 0.0)
                    && points[0].0.abs() < 1e-12
                    && points.windows(2).all(|w| w[0].0 < w[1].0 && w[0].1 > w[1].1);
                if !falls {
                    return fault(
                        "curve",
                        format!("{} rows of flow and head", points.len()),
                        "two or more rows: the first at no flow, flows rising, heads falling",
                        "check the rows against the maker's curve; leave out a part where head rises with flow",
                    );
                }
                let law = match points[..] {
                    [(_, h0), (q1, h1), (q2, h2)] => {
                        let c = libm::log((h0 - h2) / (h0 - h1)) / libm::log(q2 / q1);
                        Law::Power { a: h0, b: (h0 - h1) / libm::pow(q1, c), c }
                    }
                    _ => Law::Lines(points.clone()),
                };
                Ok(Self { law, last_flow: points[points.len() - 1].0 })
            }
        }
    }

    /// The greatest flow at rated speed, m³/h.
    #[must_use]
    pub const fn last_flow_m3_per_h(&self) -> f64 {
        self.last_flow
    }

    /// Head without flow at rated speed, m.
    #[must_use]
    pub fn shut_off_m(&self) -> f64 {
        self.head_m(0.0)
    }

    /// Head at a flow and rated speed, m; beyond the last flow that of the last flow.
    #[must_use]
    pub fn head_m(&self, flow_m3_per_h: f64) -> f64 {
        let q = flow_m3_per_h.clamp(0.0, self.last_flow);
        match &self.law {
            Law::Power { a, b, c } if is_square(*c) => a - b * q * q,
            Law::Power { a, b, c } => a - b * libm::pow(q, *c),
            Law::Lines(points) => {
                let upper = points.partition_point(|(x, _)| *x <= q).clamp(1, points.len() - 1);
                let ((x0, y0), (x1, y1)) = (points[upper - 1], points[upper]);
                y0 + (y1 - y0) * (q - x0) / (x1 - x0)
            }
        }
    }

    /// Flow at a head and rated speed, m³/h; zero from the shut-off head, the last flow below the curve's end.
    #[must_use]
    pub fn flow_m3_per_h(&self, head_m: f64) -> f64 {
        if head_m >= self.shut_off_m() {
            0.0
        } else {
            falling_root(|q| self.head_m(q) - head_m, 0.0, self.last_flow, 0.0)
        }
    }

    /// Speed over rated speed at which a flow passes against a head.
    #[must_use]
    pub fn speed(&self, flow_m3_per_h: f64, head_m: f64) -> f64 {
        let floor = flow_m3_per_h / self.last_flow;
        if floor * floor * self.head_m(self.last_flow) >= head_m {
            return floor;
        }
        if let Law::Power { a, b, c } = &self.law
            && is_square(*c)
        {
            return ((head_m + b * flow_m3_per_h * flow_m3_per_h) / a).sqrt();
        }
        let short = |n: f64| head_m - n * n * self.head_m(flow_m3_per_h / n);
        let low = floor.max((head_m / self.shut_off_m()).sqrt());
        let mut high = low;
        // The head at a fixed flow grows at least as the square of the speed.
        while short(high) > 0.0 {
            high *= 1.5;
        }
        falling_root(short, low, high, 0.0)
    }
}

fn is_square(c: f64) -> bool {
    (c - 2.0).abs() < 1e-12
}
