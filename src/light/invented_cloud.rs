//! A star cloud with dust before it, as the subject of simulated pictures: invented, but the same for
//! all of them.

/// Octaves of noise: size in pixels, and share of the light. From some pixels to two fifths of a patch's
/// height, so that each strategy shows what it loses in noise or smears.
const SWELLS: [(f64, f64); 5] = [
    (130.0, 0.40),
    (56.0, 0.26),
    (24.0, 0.16),
    (10.0, 0.11),
    (4.0, 0.07),
];

/// Layers of the hash that noise is made of; those below place the stars, so that the two have nothing in
/// common.
const NOISE_LAYERS_FROM: u32 = 1 << 16;

/// The dark lane: where it enters at the left, its slope, half its width, how
/// far it bends over what length, and the share of light it takes.
const LANE_TOP_PX: f64 = -16.0;
const LANE_SLOPE: f64 = 0.7;
const LANE_HALF_PX: f64 = 26.0;
const LANE_BEND_PX: f64 = 110.0;
const LANE_LENGTH_PX: f64 = 95.0;
const LANE_DARK: f64 = 0.92;

/// The values of the octaves' sum that are drawn darkest and brightest.
const LEAST_SWELL: f64 = 0.2;
const MOST_SWELL: f64 = 0.64;

/// Threads of dust: the size of the noise whose middle they follow, how near to it they are dark, and the
/// share of light they take.
const THREAD_PX: f64 = 62.0;
const THREAD_LAYER: u32 = 6;
const THREAD_WIDTH: f64 = 0.12;
const THREAD_DARK: f64 = 0.55;

/// Brightness at a point, pixels to the right and down, 0 to 1: octaves of value noise behind dust.
pub(super) fn cloud_at(x: f64, y: f64) -> f64 {
    let mut swell = 0.0;
    for (layer, (size_px, share)) in (1..).zip(SWELLS) {
        swell += share * smooth(x / size_px, y / size_px, layer);
    }
    // the octaves seldom come near 0 or their sum
    let lit = ((swell - LEAST_SWELL) / (MOST_SWELL - LEAST_SWELL)).clamp(0.0, 1.0);
    lit * transmitted(x, y)
}

/// Share of the light that the dust lets through at a point: a dark lane, and threads beside it.
pub(super) fn transmitted(x: f64, y: f64) -> f64 {
    let bend = LANE_BEND_PX * (smooth(x / LANE_LENGTH_PX, 0.5, 0) - 0.5);
    let lane = (y - LANE_SLOPE * x - LANE_TOP_PX - bend) / LANE_HALF_PX;
    // a thread runs where the noise crosses its middle
    let off = (2.0 * smooth(x / THREAD_PX, y / THREAD_PX, THREAD_LAYER) - 1.0) / THREAD_WIDTH;
    (1.0 - LANE_DARK * (-lane * lane).exp()) * (1.0 - THREAD_DARK * (-off * off).exp())
}

/// Value noise: values at integer points, smoothly interpolated, 0 to 1.
fn smooth(x: f64, y: f64, layer: u32) -> f64 {
    let (left, top) = (x.floor(), y.floor());
    let eased = |way: f64| way * way * (3.0 - 2.0 * way);
    let (along, down) = (eased(x - left), eased(y - top));
    let at = |dx: i32, dy: i32| {
        f64::from(hash(
            (left as i32).wrapping_add(dx),
            (top as i32).wrapping_add(dy),
            NOISE_LAYERS_FROM + layer,
        )) / f64::from(u32::MAX)
    };
    let row = |dy: i32| at(0, dy) + along * (at(1, dy) - at(0, dy));
    row(0) + down * (row(1) - row(0))
}

/// A hash of a point, by the finalizer of MurmurHash3 (A. Appleby, public domain).
pub(super) fn hash(x: i32, y: i32, layer: u32) -> u32 {
    let mut mixed = (x as u32).wrapping_mul(0x9E37_79B1)
        ^ (y as u32).wrapping_mul(0x85EB_CA77)
        ^ layer.wrapping_mul(0xC2B2_AE3D);
    mixed = (mixed ^ (mixed >> 16)).wrapping_mul(0x85EB_CA6B);
    mixed = (mixed ^ (mixed >> 13)).wrapping_mul(0xC2B2_AE35);
    mixed ^ (mixed >> 16)
}
