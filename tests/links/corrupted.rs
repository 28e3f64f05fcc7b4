//! What is left of links and files that were corrupted on the way.

use tarnlight::outing::plan::Outing;
use tarnlight::outing::share::file;
use tarnlight::outing::share::query;

use super::old_forms::old_forms;

/// Random numbers, the same ones each time: the generator of G. Marsaglia, *Journal of Statistical
/// Software* 8 (2003), no. 14, with shifts 13, 7 and 17.
struct Random(u64);

impl Random {
    fn below(&mut self, count: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % count.max(1) as u64) as usize
    }

    fn pick<'a>(&mut self, all: &[&'a str]) -> &'a str {
        all[self.below(all.len())]
    }
}

/// What gets into texts: by malice, by a slip of the thumb, by a messenger.
const RUBBISH: [&str; 24] = [
    "%",
    "%0",
    "%00",
    "%FF",
    "%C3",
    "%E2%98%83",
    "☃",
    "\u{202e}",
    "e\u{301}",
    "\0",
    "\u{feff}",
    "+",
    "&",
    "&&",
    "=",
    "#",
    "1e999",
    "-",
    "NaN",
    "99999999999999999999999999",
    "0.00000000001",
    "_*_",
    "<b>",
    "\r\n",
];

/// Parts of a form, some of them doubled, swapped, cut, changed or new.
fn corrupted(text: &str, random: &mut Random) -> String {
    let mut text = text.to_owned();
    for _ in 0..=random.below(4) {
        let mut parts: Vec<_> = text.split('&').map(str::to_owned).collect();
        let (one, other) = (random.below(parts.len()), random.below(parts.len()));
        match random.below(8) {
            // a byte flipped; what is no longer UTF-8 arrives as the mark for that
            0 => {
                let mut bytes = text.into_bytes();
                if !bytes.is_empty() {
                    let place = random.below(bytes.len());
                    bytes[place] ^= 1 << random.below(8);
                }
                text = String::from_utf8_lossy(&bytes).into_owned();
                continue;
            }
            1 => {
                let cut = random.below(text.chars().count() + 1);
                text = text.chars().take(cut).collect();
                continue;
            }
            2 => parts.push(parts[one].clone()),
            3 => parts.swap(one, other),
            // the value of one key under another
            4 => {
                let value = parts[one]
                    .split_once('=')
                    .map_or("", |(_, value)| value)
                    .to_owned();
                let key = parts[other].split('=').next().unwrap_or_default();
                parts[other] = format!("{key}={value}");
            }
            5 => {
                let mut letters: Vec<_> = parts[one].chars().collect();
                let place = random.below(letters.len() + 1);
                letters.splice(place..place, random.pick(&RUBBISH).chars());
                parts[one] = letters.into_iter().collect();
            }
            6 => {
                let key = parts[one].split('=').next().unwrap_or_default();
                parts[one] = format!(
                    "{key}={}{}",
                    random.pick(&RUBBISH),
                    random.below(usize::MAX)
                );
            }
            _ => {
                let digits = "0123456789".repeat(random.below(40));
                parts[one].push_str(&digits);
            }
        }
        text = parts.join("&");
    }
    text
}

/// Outings with every key among them, to be corrupted.
fn sound_forms() -> Vec<String> {
    let mut forms: Vec<_> = old_forms()
        .into_iter()
        .map(|(text, _)| text.to_owned())
        .collect();
    let new = "v=1&lat=-33.8694&lon=-70.25&sensor=35.9x23.9&px=8256x5504&mm=24&f=2&sharp=screen60x70\
               &keep=dec-29.5&held=upright&lens=stereographic&widest=1.4&focus=at&high=2400\
               &zone=-3&place=tarn+%26+ridge&ridge=7.5&line=1.00*2.00_350.5*8.25&gaps=350.5&aim=10_20_-3&moon=any\
               &night=2026-06-14&minute=1439&kit=old&dark=21.25&glow=22.5&iso=3200&mins=30&on=tracker\
               &tracker=-15_7.5_45_480_half&air=-3.5_85&qe=62.5&glass=87.5&warm=0.25&well=40000&mb=32.5&write=2&charge=200&clock=7203.5_2026-07-09\
               &noise=400*3.5_3200*1.75&distort=-0.1125_0.04&star=1.5_2.75&falloff=2.25\
               &sun=15&least=12.5&haze=0.375&subject=winter";
    for key in query::key_names() {
        assert!(new.contains(&format!("&{key}=")), "{key} is missing");
    }
    forms.push(new.replace("focus=at", "focus=0.1m"));
    forms
}

/// A sentence a person can read: not empty, on one line, not endless.
fn assert_sentences(errors: &[String], text: &str) {
    assert!(errors.len() <= 5, "{text}");
    for message in errors {
        assert!(
            !message.is_empty() && message.chars().count() < 200,
            "{text:?}: {message}"
        );
    }
}

/// What was read writes again and reads again, without a complaint and to the same text.
fn assert_settled(outing: &Outing, from: &str) {
    let text = query::write(outing);
    let again = query::read(&text);
    assert_eq!(again.errors, Vec::<String>::new(), "{from:?}: {text}");
    assert_eq!(query::write(&again.outing), text, "{from:?}");
}

#[test]
fn corrupted_links_give_an_outing_or_a_sentence() {
    let mut random = Random(0x7461_726E);
    let forms = sound_forms();
    let (mut refused, mut complained) = (0, 0);
    for _ in 0..10_000 {
        let text = corrupted(&forms[random.below(forms.len())], &mut random);
        let reading = query::read(&text);
        assert_sentences(&reading.errors, &text);
        if reading.unsupported {
            assert!(!reading.errors.is_empty(), "{text:?}");
            assert_eq!(reading.outing, Outing::default(), "{text:?}");
            refused += 1;
        }
        complained += usize::from(!reading.errors.is_empty());
        assert_settled(&reading.outing, &text);
    }
    // all three outcomes occur, hundreds of times
    assert!(refused > 300 && complained > refused + 300 && complained < 9_700);
}

/// A file whose lines are corrupted, doubled, swapped, renamed, run together and cut.
fn corrupted_file(forms: &[String], random: &mut Random) -> String {
    let words = ["outing", "kit", "kit", "site", "site"];
    let mut lines = vec!["tarnlight 1".to_owned()];
    for _ in 0..random.below(6) {
        let form = &forms[random.below(forms.len())];
        let form = if random.below(2) == 0 {
            corrupted(form, random)
        } else {
            form.clone()
        };
        lines.push(format!("{} {form}", random.pick(&words)));
    }
    let (one, other) = (random.below(lines.len()), random.below(lines.len()));
    match random.below(8) {
        0 => lines.swap(one, other),
        1 => lines.push(lines[one].clone()),
        2 => lines[one] = corrupted(&lines[one], random),
        3 => lines[one] = format!("{} {}", random.pick(&RUBBISH), lines[other]),
        4 => {
            lines[0] = format!(
                "tarnlight {}",
                random.pick(&["2", "0", "", "1.5", "-1", "☃", "01"])
            )
        }
        5 => {
            let line = lines[one].clone();
            lines.extend(std::iter::repeat_n(line, random.below(60)));
        }
        _ => {}
    }
    let mut text = lines.join(random.pick(&["\n", "\n", "\r\n", "\n\n", " "]));
    if random.below(6) == 0 {
        let cut = random.below(text.chars().count() + 1);
        text = text.chars().take(cut).collect();
    }
    text
}

#[test]
fn corrupted_files_give_what_stands_or_a_sentence() {
    let mut random = Random(0x6C69_6768);
    let forms = sound_forms();
    let (mut refused, mut complained) = (0, 0);
    for _ in 0..10_000 {
        let text = corrupted_file(&forms, &mut random);
        let bundle = match file::read(&text) {
            Ok(bundle) => bundle,
            Err(why) => {
                assert_sentences(&[why], &text);
                refused += 1;
                continue;
            }
        };
        assert_sentences(&bundle.errors, &text);
        complained += usize::from(!bundle.errors.is_empty());
        assert!(
            bundle.kits.len() <= 30 && bundle.sites.len() <= 30,
            "{text:?}"
        );
        if let Some(outing) = &bundle.outing {
            assert_settled(outing, &text);
        }
        let file = file::write_lists(&bundle.kits, &bundle.sites);
        let again = file::read(&file).expect("ours");
        assert_eq!(again.errors, Vec::<String>::new(), "{text:?}");
        assert_eq!(
            file::write_lists(&again.kits, &again.sites),
            file,
            "{text:?}"
        );
    }
    assert!(refused > 300 && complained > 300 && refused + complained < 9_700);
}
