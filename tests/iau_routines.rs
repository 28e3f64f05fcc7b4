//! The IAU's routines as the crate `sofars` has them, against the published test values of ERFA.
//!
//! Each value is from ERFA's own test program `t_erfa_c.c` (as shipped with pyerfa 2.0.1.5), with
//! the tolerance given there; the name of the test is beside it. Only routines that `src/sky` calls
//! are here, and the one that its own form of the ellipsoid is checked against.
#![cfg(not(target_arch = "wasm32"))]

use sofars::astro::ab;
use sofars::coords::gd2gc;
use sofars::eph::{moon98, plan94};
use sofars::erst::{ee00b, era00, gmst00, gmst06};
use sofars::pnp::{nut00b, obl06, pn00b};

/// The other half of each date: a modified Julian date of 0.
const MJD: f64 = 2_400_000.5;

fn near(got: f64, want: f64, allowed: f64, what: &str) {
    let off = (got - want).abs();
    assert!(off <= allowed, "{what}: {got}, want {want}, {off:e} off");
}

/// `t_era00`, `t_gmst00`, `t_gmst06`, `t_ee00b`.
#[test]
fn the_earths_rotation() {
    let days = 53_736.0;
    near(
        era00(MJD, 54_388.0),
        0.402_283_724_002_815_8,
        1e-12,
        "era00",
    );
    let got = gmst00(MJD, days, MJD, days);
    near(got, 1.754_174_972_210_740_7, 1e-12, "gmst00");
    let got = gmst06(MJD, days, MJD, days);
    near(got, 1.754_174_971_870_091_2, 1e-12, "gmst06");
    near(
        ee00b(MJD, days),
        -0.883_570_006_000_303_3e-5,
        1e-18,
        "ee00b",
    );
}

/// `t_nut00b`, `t_obl06`, `t_pn00b`.
#[test]
fn the_earths_axis() {
    const DPSI: f64 = -9.632_552_291_148_363e-6;
    const DEPS: f64 = 4.063_197_106_621_159e-5;
    let (dpsi, deps) = nut00b(MJD, 53_736.0);
    near(dpsi, DPSI, 1e-13, "nut00b in longitude");
    near(deps, DEPS, 1e-13, "nut00b in obliquity");
    let got = obl06(MJD, 54_388.0);
    near(got, 0.409_074_922_938_725_8, 1e-14, "obl06");
    let (dpsi, deps, obliquity, frame, ..) = pn00b(MJD, 53_736.0);
    near(dpsi, DPSI, 1e-12, "pn00b in longitude");
    near(deps, DEPS, 1e-12, "pn00b in obliquity");
    near(obliquity, 0.409_079_178_940_423, 1e-12, "pn00b");
    let off_axis = [frame[0][1], frame[0][2], frame[1][2]];
    for (got, want) in off_axis.into_iter().zip([
        -0.707_827_974_419_919_7e-7,
        0.805_621_714_697_613_4e-7,
        0.330_604_145_422_213_65e-7,
    ]) {
        near(got, want, 1e-16, "pn00b, bias of the frame");
    }
}

/// `t_moon98`: au and au a day.
#[test]
fn the_moon() {
    let [place, motion] = moon98(MJD, 43_999.9);
    let want = [
        -0.002_601_295_959_971_044,
        0.000_613_975_094_430_274_3,
        0.000_264_079_452_822_982_9,
        -0.000_124_432_150_664_989_5,
        -0.000_521_907_694_267_811_9,
        -0.000_171_613_221_437_846_2,
    ];
    for (got, want) in place.into_iter().chain(motion).zip(want) {
        near(got, want, 1e-11, "moon98");
    }
}

/// `t_plan94`: Mercury within the routine's years, and the middle of Earth and Moon a long way
/// outside them, which it answers with a warning.
#[test]
fn the_earths_path() {
    let mercury = [
        0.294_529_395_925_743_1,
        -0.245_220_417_660_104_97,
        -0.161_542_770_057_197_8,
        0.014_138_678_714_046_144,
        0.019_465_483_011_047_066,
        0.008_929_809_783_898_905,
    ];
    let earth = [
        0.930_803_866_683_297_6,
        0.325_831_904_026_134_6,
        0.142_279_454_448_114_06,
        -0.006_429_458_958_255_17,
        0.014_685_706_577_042_378,
        0.006_406_996_426_270_981,
    ];
    for (days, body, warning, want) in [(43_999.9, 1, 0, mercury), (-320_000.0, 3, 1, earth)] {
        let (state, message) = plan94(MJD, days, body).expect("a body it knows");
        assert_eq!(message, warning, "body {body}");
        for (got, want) in state.into_iter().flatten().zip(want) {
            near(got, want, 1e-11, "plan94");
        }
    }
}

/// `t_ab`.
#[test]
fn what_motion_does_to_light() {
    let natural = [
        -0.763_219_685_467_379_5,
        -0.608_694_539_830_603_8,
        -0.216_764_085_806_398_83,
    ];
    let speed = [
        2.104_401_889_365_378_6e-5,
        -8.910_892_330_442_932e-5,
        -3.863_371_479_771_657e-5,
    ];
    let got = ab(
        &natural,
        &speed,
        0.999_809_213_957_087_9,
        0.999_999_995_062_092_6,
    );
    let want = [
        -0.763_163_109_421_955_6,
        -0.608_755_308_250_559_1,
        -0.216_792_626_936_847_12,
    ];
    for (got, want) in got.into_iter().zip(want) {
        near(got, want, 1e-12, "ab");
    }
}

/// `t_gd2gc` for the WGS84 ellipsoid, m.
#[test]
fn the_ellipsoid() {
    let got = gd2gc(1, 3.1, -0.5, 2500.0).expect("a known ellipsoid");
    let want = [
        -5_599_000.557_704_995,
        233_011.672_234_792_03,
        -3_040_909.470_698_336,
    ];
    for (got, want) in got.into_iter().zip(want) {
        near(got, want, 1e-7, "gd2gc");
    }
}
