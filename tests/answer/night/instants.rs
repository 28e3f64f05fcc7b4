//! Positions of the bodies at an instant.

use serde::Serialize;
use tarnlight::angle::Angle;
use tarnlight::sky::almanac::{Almanac, SkyBody};
use tarnlight::sky::moment::Moment;
use tarnlight::sky::observer::Horizontal;
use tarnlight::sky::positions::AU_KM;
use tarnlight::sky::sidereal;

use super::question::NightQuestion;
use super::site::SkyPlace;
use super::time::{local_text, utc_text};
use super::zoned_night::ZonedNight;

#[derive(Serialize)]
pub struct InstantAnswer {
    utc: String,
    local: Option<String>,
    t_s: f64,
    core: SkyPlace,
    moon: MoonPlace,
    sun: SkyPlace,
    sidereal: SiderealTimes,
}

/// Names in `topo` are for the site, the others for the Earth's middle.
#[derive(Serialize)]
struct MoonPlace {
    #[serde(flatten)]
    place: SkyPlace,
    distance_topo_km: f64,
    distance_geo_km: f64,
    semidiameter_topo_deg: f64,
    illuminated_fraction: f64,
    illuminated_fraction_topo: f64,
    phase_angle_deg: f64,
    phase_angle_topo_deg: f64,
    elongation_longitude_deg: f64,
    separation_from_core_deg: f64,
}

#[derive(Serialize)]
struct SiderealTimes {
    gmst_h: f64,
    gast_h: f64,
    last_h: f64,
}

impl SiderealTimes {
    fn new(question: &NightQuestion, moment: Moment) -> Self {
        // sidereal time follows UT1
        let ut1 = moment.plus_s(question.dut1_s);
        let apparent_h = hours(sidereal::apparent(ut1));
        Self {
            gmst_h: hours(sidereal::mean(ut1)),
            gast_h: apparent_h.rem_euclid(24.0),
            last_h: (apparent_h + hours(question.position.longitude)).rem_euclid(24.0),
        }
    }
}

fn hours(angle: Angle) -> f64 {
    angle.degrees() / 15.0
}

impl ZonedNight<'_> {
    /// Core, Moon and Sun at an instant that the almanac covers.
    pub fn instant(
        &self,
        almanac: &Almanac,
        moment: Moment,
        question: &NightQuestion,
    ) -> InstantAnswer {
        let observer = self.night.observer();
        let find = |body| observer.horizontal(almanac, body, moment);
        let (core, moon, sun) = (
            find(SkyBody::Subject),
            find(SkyBody::Moon),
            find(SkyBody::Sun),
        );
        InstantAnswer {
            utc: utc_text(moment),
            local: self.zone.map(|zone| local_text(moment, zone)),
            t_s: moment.since_s(self.night.start()),
            core: core.into(),
            moon: moon_place(almanac, moment, [core, moon, sun]),
            sun: sun.into(),
            sidereal: SiderealTimes::new(question, moment),
        }
    }
}

fn moon_place(almanac: &Almanac, moment: Moment, [core, moon, sun]: [Horizontal; 3]) -> MoonPlace {
    let longitude_deg =
        |body| sidereal::ecliptic_longitude(almanac.position(body, moment), moment).degrees();
    let elongation_deg = longitude_deg(SkyBody::Moon) - longitude_deg(SkyBody::Sun);
    let phase_angle_topo = moon.phase_angle(sun);
    MoonPlace {
        place: moon.into(),
        distance_topo_km: moon.distance_au * AU_KM,
        distance_geo_km: almanac.position(SkyBody::Moon, moment).length() * AU_KM,
        semidiameter_topo_deg: moon.moon_radius().degrees(),
        illuminated_fraction: almanac.illuminated_fraction(moment),
        illuminated_fraction_topo: (1.0 + phase_angle_topo.cos()) / 2.0,
        phase_angle_deg: almanac.phase_angle(moment).degrees(),
        phase_angle_topo_deg: phase_angle_topo.degrees(),
        elongation_longitude_deg: elongation_deg.rem_euclid(360.0),
        separation_from_core_deg: moon.angle_to(core).degrees(),
    }
}
