//! A piece that will be domed: the flat it is sawn from, and the finished edge inside it.

use super::outer;
use crate::error::Error;
use crate::geom::Ring;
use crate::job::{Job, Shape};
use crate::trade::fits;
use crate::units::Mm;

/// How a piece is domed. The outline of the job is the finished one; everything is drawn, sawn and measured on the flat.
#[derive(Debug, Clone)]
pub struct Domed {
    /// The edge once it is domed, seen from above: it lies inside the flat's.
    pub finished: Ring,
    /// Its width and height.
    pub size: (Mm, Mm),
    /// Height of the dome, to the middle of the thickness.
    pub height: Mm,
    /// How many times as wide and as high the flat is.
    pub grows: (f64, f64),
}

/// The key it is asked for by.
const AT: &str = "construction.dome";

impl Domed {
    /// `None` for a piece that stays flat. Errors for a blank that is bent round, and for more than half a ball.
    pub(super) fn of(job: &Job) -> Result<Option<Domed>, Error> {
        let height = job.construction.dome;
        if height.get() <= 0.0 {
            return Ok(None);
        }
        if matches!(job.outline.shape, Shape::Band { .. } | Shape::Cone { .. }) {
            let wrong = "a blank that is bent round is not domed as well";
            return Err(job.refused(AT, wrong, "take dome out of [construction], or choose a flat outline"));
        }
        let finished = outer(&job.outline.shape).map_err(|e| job.placed("outline.shape", e))?;
        let bounds = finished.bounds();
        let (width, up) = (bounds.width(), bounds.height());
        let least = width.min(up);
        if 2.0 * height.get() > least {
            let say = |mm: f64| job.units.says(mm, 2);
            let (high, across) = (say(height.get()), say(least));
            let wrong = format!("a dome {high} high on a piece {across} across is more than half a ball");
            return Err(job.refused(AT, wrong, format!("make dome {} or less", say(least / 2.0))));
        }
        // Each way by the curve over the top: the larger of the two flats, to be trimmed.
        let grows = |across: f64| fits::dome(across, height.get()).flat_high / across;
        Ok(Some(Domed { finished, size: (Mm(width), Mm(up)), height, grows: (grows(width), grows(up)) }))
    }
}
