//! The assumptions and sources behind the figures of Why track?.

/// What the chart rests on.
pub const REACH_BASIS: [&str; 2] = [
    "Tripod: the Earth's rotation, for the declination and the trail chosen under How long?, in \
     the middle of the frame. Half rate: the tracker turns half as fast as the sky, so that sky \
     and ground smear alike.",
    "Tracker: four frames in five keep within that trail, by its error at the pole and its \
     periodic error. Wind is left out. The rules stand under How long?.",
];

/// What the light rests on.
pub const LIGHT_BASIS: [&str; 4] = [
    "The site's sky overhead, with Moon (Krisciunas & Schaefer 1991), twilight (Patat and others \
     2006, by direction Schaefer 1993) and air (Kasten & Young 1989, Green 1992). Clear, no light pollution.",
    "ISO: a meter (ISO 2720, K = 12.5) would put the sky at middle grey; two stops below that it \
     stands clear of the left edge. Never over 6400: reading gets no quieter.",
    "Electrons: 8.8·10⁹ photons a second and square metre from magnitude 0, nine tenths through \
     the lens, one electron for two photons, a read noise of 2.5, unless typed. Good to a factor \
     of 1.5 for a body nobody has measured.",
    "Corners: what your lens loses there wide open; where nobody has typed it, two stops for one of \
     f/2.8 or faster and up to 37 mm on full frame (common practice). Two stops down half of cos⁴ is \
     left, in stops, as wide lenses are built. Good to half a stop, typical ones to one.",
];

/// What the match rests on.
pub const MATCH_BASIS: [&str; 3] = [
    "Signal to noise of one pixel: the subject's electrons over the root of all electrons and of \
     each frame's read noise squared (the equation of the CCD, Merline & Howell 1995).",
    "Frames that fit the time by the clock, a second between them unless typed, each begun on a \
     whole second; tracked ones of \
     two minutes at most, those with too long a trail thrown away. S/N: how many times more a \
     tracker has after the same time.",
    "Ranges: where no read noise or no gap between frames is typed, the least is for a quiet, quick \
     body, 1.2 e⁻ and 0.3 s, the most for a usual one, 2.5 e⁻ and 1 s (from memory).",
];

/// What the pictures rest on.
pub const PICTURE_BASIS: [&str; 2] = [
    "The picture is a patch of camera pixels: a made-up cloud of the subject's brightness (faint \
     dust of 23 mag/arcsec², unless typed) with stars, the same on both sides, with the trail that \
     the shutter leaves. Electrons are drawn at random with their true spread, by one seed.",
    "Both sides have one black and one white, in units of the sky's light; bright stars are \
     squeezed into the last quarter. Frames are laid star on star. Editing brings out more, of \
     each alike.",
];

/// What the framing rests on.
pub const TARGET_BASIS: &str = "The frame is turned to the target's longer axis. With a lens that frames it the target fills two thirds, with a twelfth of a \
                                degree around it at least; its light is that where it \
                                stands highest, the tracker's error that of your own subject. \
                                Sizes and places: OpenNGC, by Mattia \
                                Verga and others (CC BY-SA 4.0), a selection; some sizes from \
                                memory.";
