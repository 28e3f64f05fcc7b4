//! The written form: links and what is stored. An outing or a sentence, and what was read writes
//! again and reads again.

use tarnlight::outing::plan::Outing;
use tarnlight::outing::share::short_link::shortened_to;
use tarnlight::outing::share::{qr, query};

use super::{MB, MemoryLimit, Target, text};

pub const TARGET: Target = Target {
    name: "links",
    seeds,
    run,
    memory: MemoryLimit {
        least: MB,
        per_byte: 1000,
        most: 128 * MB,
    },
};

/// A form with every key.
pub const EVERY_KEY: &str = "v=1&lat=-33.8694&lon=-70.25&sensor=35.9x23.9&px=8256x5504&mm=24&f=2&\
    sharp=screen60x70&keep=dec-29.5&held=upright&lens=stereographic&widest=1.4&focus=0.1m&high=2400&\
    zone=-3&place=tarn+%26+ridge&ridge=7.5&line=1.00*2.00_350.5*8.25&gaps=350.5&aim=10_20_-3&moon=any&\
    night=2026-06-14&minute=1439&kit=old&dark=21.25&glow=22.5&iso=3200&mins=30&on=tracker&\
    tracker=-15_7.5_45_480_half&air=-3.5_85&qe=62.5&glass=87.5&warm=0.25&well=40000&mb=32.5&write=2&\
    charge=200&clock=7203.5_2026-07-09&noise=400*3.5_3200*1.75&distort=-0.1125_0.04&star=1.5_2.75&\
    falloff=2.25&sun=15&least=12.5&haze=0.375&subject=winter";

/// Letters of an address that a code is drawn of: few, since drawing takes longest.
const ROOM: usize = 90;

fn seeds() -> Vec<Vec<u8>> {
    let missing = query::key_names().find(|key| !EVERY_KEY.contains(&format!("&{key}=")));
    assert_eq!(missing, None, "a key without a value to start from");
    let forms = [EVERY_KEY, &query::write(&Outing::default())];
    forms.map(|form| form.as_bytes().to_vec()).to_vec()
}

fn run(input: &[u8]) {
    let text = text(input);
    let reading = query::read(&text);
    for error in &reading.errors {
        assert!(!error.is_empty() && error.chars().count() < 200, "{error}");
    }
    assert!(!reading.unsupported || reading.outing == Outing::default());
    settled(&reading.outing);
    if let Some(short) = shortened_to(&reading.outing, ROOM) {
        assert!(qr::draw(&short.text).is_some(), "{}", short.text);
    }
}

/// What was read writes again and reads again, without an error and to the same text.
pub fn settled(outing: &Outing) {
    let text = query::write(outing);
    let again = query::read(&text);
    assert_eq!(again.errors, Vec::<String>::new(), "{text}");
    assert_eq!(query::write(&again.outing), text);
}
