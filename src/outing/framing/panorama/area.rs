//! The area of a panorama: bearings and altitudes.

use crate::angle::Angle;
use crate::outing::framing::arch::Arch;

/// The area to be covered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    /// True bearing of its left edge.
    pub left: Angle,
    /// Width to the right, over 0 to 360°.
    pub width: Angle,
    /// Lowest altitude, −90 to 90°.
    pub low: Angle,
    /// Highest altitude, above the lowest one.
    pub high: Angle,
}

impl Area {
    /// A whole arch, from foot to foot, with a margin at the sides and over the top; `low` is the
    /// lowest altitude.
    pub fn around_arch(arch: &Arch, margin: Angle, low: Angle) -> Self {
        let margin = margin.degrees();
        let high = (arch.top.0.degrees() + margin).min(90.0);
        Self {
            left: bearing(arch.feet[0].degrees() - margin),
            width: Angle::from_degrees((180.0 + 2.0 * margin).min(360.0)),
            low,
            high: Angle::from_degrees(high),
        }
    }

    pub(super) fn is_sound(&self) -> bool {
        let [left, width] = [self.left, self.width].map(Angle::degrees);
        let [low, high] = [self.low, self.high].map(Angle::degrees);
        left.is_finite()
            && width > 0.0
            && width <= 360.0
            && -90.0 <= low
            && low < high
            && high <= 90.0
    }

    /// Solid angle, sr.
    pub(super) fn size(&self) -> f64 {
        self.width.radians() * (self.high.sin() - self.low.sin())
    }

    pub(super) fn is_round(&self) -> bool {
        self.width.degrees() >= 360.0 - 1e-6
    }
}

/// A bearing normalised to 0 to under 360°.
pub(super) fn bearing(degrees: f64) -> Angle {
    let turned = degrees.rem_euclid(360.0);
    Angle::from_degrees(if turned < 360.0 { turned } else { 0.0 })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outing::framing::arch::Arches;
    use crate::sky::moment::Moment;
    use crate::sky::observer::GeoPosition;

    #[test]
    fn an_arch_becomes_an_area() {
        let site = GeoPosition {
            latitude: Angle::from_degrees(36.0),
            longitude: Angle::from_degrees(-112.0),
            height_m: 0.0,
        };
        let arches = Arches::over(site, Moment::from_days(9302.5));
        let arch = arches.at(4.0 / 24.0);
        let area = Area::around_arch(&arch, Angle::from_degrees(10.0), Angle::ZERO);
        let left = (area.left.degrees() - arch.feet[0].degrees() + 370.0) % 360.0;
        assert!(
            left.abs() < 1e-9 && area.width.degrees() == 200.0,
            "{area:?}"
        );
        let above = area.high.degrees() - arch.top.0.degrees();
        assert!((above - 10.0).abs() < 1e-9, "{area:?}");
    }
}
