//! The loupes: three stars pixel by pixel, as the sensor will see them, with the sharpness asked
//! for as a scale.

use yew::prelude::*;

use crate::browser::theme::Theme;
use crate::camera::dial::Shutter;
use crate::camera::point_spread::Appearance;
use crate::camera::star_image::StarImage;
use crate::camera::view::SensorPoint;
use crate::decimal::fixed;
use crate::outing::exposure::Answer;
use crate::outing::test_frame::measured_stars::{MeasuredStar, MeasuredStars};
use crate::ui::layout::Size;
use crate::ui::state::derived::star_images::{StarImages, StarPatch};
use crate::ui::text::exposure;
use crate::ui::text::star_shape::looks;
use crate::ui::text::units;
use crate::ui::widgets::svg_path::SvgPath;

/// Light below this share of the brightest pixel is not drawn.
const FAINTEST: f64 = 0.02;

/// Fewest pixels across and down.
const LEAST: (f64, f64) = (11.0, 7.0);

/// Tones of pixels; in red, where there are three, the fainter ones are smaller too.
const TONES: usize = 5;
const RED_TONES: usize = 3;

/// Pixels smaller than this have no lines between them, px.
const LEAST_MESH_PX: f64 = 4.0;

/// Gap between pixels, as a share of them.
const GAP: f64 = 0.05;

/// Exponent from light to tone, as a screen's.
const GAMMA: f64 = 1.0 / 1.8;

/// A star and what stands at it.
struct Loupe<'a> {
    title: &'static str,
    star: &'a StarPatch,
    time: String,
    /// A star of a measured frame, and its pixels' size over those of the sensor.
    measured: Option<(&'a MeasuredStar, f64)>,
}

impl Loupe<'_> {
    /// What of a picture of this size is left for the drawn star beside a measured one.
    fn drawn_size(&self, size: Size) -> Size {
        let width = match self.measured {
            Some(_) => size.width / 2.0,
            None => size.width,
        };
        Size { width, ..size }
    }
}

/// The stars at one scale, each in a picture of this size.
pub fn loupes(
    images: &StarImages,
    answer: &Answer,
    shutter: Shutter,
    measured: Option<&MeasuredStars>,
    size: Size,
    theme: Theme,
) -> Html {
    let time = units::shutter(shutter);
    let measured = |point| {
        let frame = measured?;
        Some((
            frame.beside(answer, shutter.exact_s(), point)?,
            frame.pixel_ratio,
        ))
    };
    let title = match answer.target_at {
        Some(_) => exposure::target_short(answer.target),
        None => "middle",
    };
    let mut loupes = vec![Loupe {
        title,
        star: &images.middle,
        time: time.clone(),
        measured: measured(answer.target_at.unwrap_or(SensorPoint::CENTRE)),
    }];
    if let Some((star, place)) = images.worst.as_ref().zip(answer.worst.as_ref()) {
        let title = exposure::worst_short(place);
        loupes.push(Loupe {
            title,
            star,
            time,
            measured: measured(place.point),
        });
    }
    if let Some((seconds, star)) = &images.rule {
        loupes.push(Loupe {
            title: "500 rule",
            star,
            time: exposure::rule_time(*seconds),
            measured: None,
        });
    }
    let pixel = pixel_px(&loupes, size);
    let allowed_px = answer.allowed_px;
    let drawn = loupes.into_iter().zip(0..);
    let drawn =
        drawn.map(|(loupe, place)| drawing(&loupe, (pixel, allowed_px), place == 0, size, theme));
    html! { <div class="loupes">{ for drawn }</div> }
}

/// Size of a pixel at which the light of all stars is in their pictures, px.
fn pixel_px(loupes: &[Loupe<'_>], size: Size) -> f64 {
    let (mut across, mut down) = LEAST;
    let mut least = size;
    for loupe in loupes {
        least.width = least.width.min(loupe.drawn_size(size).width);
        let Some(image) = &loupe.star.image else {
            continue;
        };
        let middle = (image.side / 2) as f64;
        for (place, _) in lit_pixels(image) {
            let (x, y) = (place % image.side, place / image.side);
            // a pixel of margin on both sides
            across = across.max(2.0 * (x as f64 - middle).abs() + 3.0);
            down = down.max(2.0 * (y as f64 - middle).abs() + 3.0);
        }
    }
    (least.width / across).min(least.height / down)
}

/// The stars of a picture of this size on the screen, in which all of one is.
pub fn star(image: &StarImage, size: Size, theme: Theme) -> Html {
    let pixel = (size.width / image.side as f64).min(size.height / image.side as f64);
    html! { <>{ for pixels(image, pixel, size, theme) }</> }
}

fn lit_pixels(image: &StarImage) -> impl Iterator<Item = (usize, f64)> {
    let light = image.light.iter().copied().enumerate();
    light.filter(|(_, light)| *light >= FAINTEST)
}

fn drawing(
    loupe: &Loupe<'_>,
    (pixel, allowed_px): (f64, f64),
    first: bool,
    size: Size,
    theme: Theme,
) -> Html {
    let Loupe {
        title,
        star,
        time,
        measured,
    } = loupe;
    let Some(image) = &star.image else {
        return Html::default();
    };
    let Size { width, height } = size;
    let drawn = loupe.drawn_size(size);
    let caption = exposure::star(star.trail_px, star.appearance);
    // a disc is one after any time
    let disc = matches!(star.appearance, Some(Appearance::Disc(_)));
    let looks = star.appearance.map(looks).unwrap_or_default();
    let words = measured.map(|(star, _)| exposure::measured(star, loupe.star.trail_px));
    let beside = words
        .iter()
        .flat_map(|words| ["; ", words])
        .collect::<String>();
    let label = format!("a star, {title}, {time}: {caption} {looks}{beside}");
    // the measure lies along the lower edge
    let (half, foot) = (allowed_px * pixel / 2.0, height - 10.0);
    let middle = drawn.width / 2.0;
    let (left, right) = (middle - half, middle + half);
    let measure = (half < middle).then(|| {
        let mut path = SvgPath::default();
        for (x, y) in [(left, foot), (right, foot)] {
            path.move_to((x, y - 5.0)).line_to((x, y + 5.0));
        }
        path.move_to((left, foot)).line_to((right, foot));
        html! { <path class="measure" d={path.finish()} /> }
    });
    let mut between = SvgPath::default();
    between.move_to((0.0, 0.0)).line_to((0.0, height));
    let between = between.finish();
    let scale = (first && right + 38.0 < width).then(|| {
        html! {
            <text x={fixed(right + 8.0, 1)} y={fixed(foot + 5.0, 1)}>
                { exposure::whole(allowed_px) }
            </text>
        }
    });
    html! {
        <figure class={classes!("loupe", disc.then_some("disc"))}>
            <svg
                class="drawing"
                role="img"
                aria-label={label}
                viewBox={size.view_box(1)}
                width={fixed(width, 1)}
                height={fixed(height, 1)}
            >
                <path class="mesh" d={mesh(pixel, drawn)} />
                { for pixels(image, pixel, drawn, theme) }
                if let Some((star, pixel_ratio)) = measured {
                    <g transform={format!("translate({} 0)", fixed(middle * 2.0, 1))}>
                        <path class="mesh" d={mesh(pixel * pixel_ratio, drawn)} />
                        { for pixels(&star.image, pixel * pixel_ratio, drawn, theme) }
                        <path class="between" d={between} />
                    </g>
                }
                { measure.unwrap_or_default() }
                <text x="8" y="19">{ *title }</text>
                { scale.unwrap_or_default() }
            </svg>
            <figcaption aria-hidden="true">
                <strong>{ caption }</strong>
                if !disc {
                    <span class="quiet">{ time }</span>
                }
                if let Some(words) = words {
                    <span class="beside-drawn">{ words }</span>
                }
            </figcaption>
        </figure>
    }
}

/// Lines between the pixels, of which one has its middle in that of the picture.
fn mesh(pixel: f64, Size { width, height }: Size) -> String {
    let mut path = SvgPath::default();
    if pixel < LEAST_MESH_PX {
        return path.finish();
    }
    let lines = |length: f64| {
        let first = (length / 2.0 - pixel / 2.0).rem_euclid(pixel);
        (0..=(length / pixel) as u32).map(move |line| first + f64::from(line) * pixel)
    };
    for x in lines(width).filter(|x| *x <= width) {
        path.move_to((x, 0.0)).line_to((x, height));
    }
    for y in lines(height).filter(|y| *y <= height) {
        path.move_to((0.0, y)).line_to((width, y));
    }
    path.finish()
}

/// The lit pixels, one path for each tone.
fn pixels(image: &StarImage, pixel: f64, size: Size, theme: Theme) -> Vec<Html> {
    let red = theme == Theme::Red;
    let tones = if red { RED_TONES } else { TONES };
    let mut paths: Vec<SvgPath> = (0..tones).map(|_| SvgPath::default()).collect();
    let middle = image.side as f64 / 2.0;
    for (place, light) in lit_pixels(image) {
        let tone = ((light.powf(GAMMA) * tones as f64).ceil() as usize).clamp(1, tones) - 1;
        let share = if red {
            0.5 + 0.45 * light.sqrt()
        } else {
            1.0 - GAP
        };
        let corner = |at: usize, length: f64| {
            length / 2.0 + (at as f64 - middle + (1.0 - share) / 2.0) * pixel
        };
        let (x, y) = (place % image.side, place / image.side);
        let at = (corner(x, size.width), corner(y, size.height));
        // a cut-out of a picture may be larger than there is room for
        let fits = |start: f64, length: f64| (0.0..=length - share * pixel).contains(&start);
        if fits(at.0, size.width) && fits(at.1, size.height) {
            paths[tone].square(at, share * pixel);
        }
    }
    let class = |tone: usize| classes!("pixel", format!("tone-{}", tone + TONES - tones));
    let drawn = paths.into_iter().enumerate();
    drawn
        .map(|(tone, path)| html! { <path class={class(tone)} d={path.finish()} /> })
        .collect()
}
