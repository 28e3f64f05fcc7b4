//! Sizes of the pictures of How long?, for each division of the window.

use crate::ui::layout::{Layout, LayoutKind, MARGIN_PX, Size};
use crate::ui::screens::exposure::rule_bars;

/// Between loupes, px.
const BETWEEN_PX: f64 = 8.0;

/// What headline and loupes take of an upright phone, px.
const ABOVE_POOL_PX: f64 = 316.0;

/// Height of a loupe over its width.
const LOUPE_SHAPE: f64 = 0.75;

/// Least width for three loupes with their words, px.
const LOUPES_PX: f64 = 310.0;

/// Height of a bar with its words where there is room, and with the scale of all six, px.
const BAR_ROW_PX: f64 = 42.0;
const BARS_PX: f64 = 26.0 + 6.0 * BAR_ROW_PX;

/// At a desk: what the words under loupes take, the shutter rule, and the bars at most, px.
const CAPTION_PX: f64 = 60.0;
const CAPTION_LINE_PX: f64 = 24.0;
const RULE_PX: f64 = 140.0;
const ROOMY_PX: f64 = 26.0 + 6.0 * 72.0;

/// Sizes of the pictures, px.
pub struct Pictures {
    /// Whether the bars stand beside the pool, and the loupes under the settings.
    pub(super) beside: bool,
    pub(super) loupes_beside: bool,
    pub(super) pool: Size,
    pub(super) loupe: Size,
    pub(super) bars: Size,
    /// Width of the shutter rule, where it is in the picture.
    pub(super) shutter_rule: Option<f64>,
}

impl Pictures {
    /// For a frame of this width over height; words under loupes may be of a measured star, too.
    pub(super) fn new(layout: Layout, aspect_ratio: f64, measured: bool) -> Self {
        let room = Room {
            stage: layout.stage(),
            aspect_ratio,
            caption_px: CAPTION_PX + if measured { CAPTION_LINE_PX } else { 0.0 },
        };
        let upright = aspect_ratio < 1.0;
        let tablet = layout.kind() == LayoutKind::Tablet;
        match layout.kind() {
            LayoutKind::Desk if upright => room.desk_upright(),
            LayoutKind::Desk => room.desk_level(),
            LayoutKind::Side => room.side(upright),
            _ if upright => room.narrow_upright(tablet),
            _ => room.narrow_level(tablet),
        }
    }
}

/// What the pictures share.
struct Room {
    stage: Size,
    /// Width of the frame over its height.
    aspect_ratio: f64,
    /// Height of the words under loupes, px.
    caption_px: f64,
}

impl Room {
    /// At a desk, an upright frame: loupes and bars stand beside the pool.
    fn desk_upright(&self) -> Pictures {
        let pool = self.frame(self.stage.width * 0.5, self.stage.height);
        let width = self.stage.width - pool.width - 2.0 * MARGIN_PX;
        let loupe = loupe(width);
        let left = self.stage.height - loupe.height - self.caption_px - RULE_PX;
        Pictures {
            beside: true,
            loupes_beside: false,
            pool,
            loupe,
            bars: bars(width, left.min(ROOMY_PX)),
            shutter_rule: Some(width),
        }
    }

    /// At a desk, a level frame: the loupes stand under the pool, as wide as it.
    fn desk_level(&self) -> Pictures {
        let stage = self.stage;
        let high = (stage.height - self.caption_px) / (1.0 / self.aspect_ratio + LOUPE_SHAPE / 3.0);
        let pool = self.frame(high.min(stage.width * 0.66), stage.height);
        let width = stage.width - pool.width - 2.0 * MARGIN_PX;
        Pictures {
            beside: true,
            loupes_beside: false,
            pool,
            loupe: loupe(pool.width - MARGIN_PX),
            bars: bars(width, pool.height.min(ROOMY_PX)),
            shutter_rule: Some(width),
        }
    }

    /// On a phone on its side: beside a level frame stand the settings.
    fn side(&self, upright: bool) -> Pictures {
        let inner = self.inner_px();
        let beside = if upright {
            self.stage.width
        } else {
            inner - LOUPES_PX - MARGIN_PX
        };
        let pool = self.frame(beside, self.stage.height);
        let left = inner - pool.width - MARGIN_PX;
        let loupes_beside = left >= LOUPES_PX;
        let bars_px = if upright {
            inner
        } else {
            pool.width - 2.0 * MARGIN_PX
        };
        Pictures {
            beside: false,
            loupes_beside,
            pool,
            loupe: loupe(if loupes_beside { left } else { inner }),
            bars: bars(bars_px, BARS_PX),
            shutter_rule: None,
        }
    }

    /// On an upright phone or a tablet, an upright frame: the bars stand beside the pool.
    fn narrow_upright(&self, tablet: bool) -> Pictures {
        let inner = self.inner_px();
        let high = self.stage.height - ABOVE_POOL_PX;
        let pool = match tablet {
            true => self.frame(inner * 0.66, self.stage.height),
            false => self.frame(inner * 0.56, high.max(190.0)),
        };
        let width = inner - pool.width - MARGIN_PX;
        Pictures {
            beside: true,
            loupes_beside: false,
            pool,
            loupe: loupe(self.loupes_px(tablet)),
            bars: bars(width, pool.height),
            shutter_rule: tablet.then_some(inner),
        }
    }

    /// On an upright phone or a tablet, a level frame: one picture under the other.
    fn narrow_level(&self, tablet: bool) -> Pictures {
        let inner = self.inner_px();
        Pictures {
            beside: false,
            loupes_beside: false,
            pool: self.frame(self.stage.width, self.stage.height),
            loupe: loupe(self.loupes_px(tablet)),
            bars: bars(inner, BARS_PX),
            shutter_rule: tablet.then_some(inner),
        }
    }

    /// The largest frame within this size.
    fn frame(&self, width: f64, height: f64) -> Size {
        Size { width, height }.fitted(self.aspect_ratio)
    }

    /// Width between the margins, px.
    fn inner_px(&self) -> f64 {
        self.stage.width - 2.0 * MARGIN_PX
    }

    /// Width of all loupes, px; on a phone they take half of each margin, too.
    fn loupes_px(&self, tablet: bool) -> f64 {
        self.inner_px() + if tablet { 0.0 } else { MARGIN_PX }
    }
}

/// One of three loupes that stand side by side in this width.
fn loupe(width: f64) -> Size {
    let width = ((width - 2.0 * BETWEEN_PX) / 3.0).floor();
    let height = (width * LOUPE_SHAPE).floor();
    Size { width, height }
}

fn bars(width: f64, height: f64) -> Size {
    Size {
        width,
        height: height.max(rule_bars::LEAST_PX),
    }
}
