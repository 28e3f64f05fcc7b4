//! Search keys: names in lower case without accents, words separated by one blank; and the rank of
//! a match.
//!
//! `thorshofn` must find `Þórshöfn`. The tables cover the Latin letters of Europe, Vietnam and the
//! usual transliterations. They are written here, since the standard library's tables of every
//! script would add kilobytes to the page.

/// Base letters of U+00C0 to U+017F, 32 a row; a star where there is none or where there are two,
/// see [`pair`].
const FROM_C0: &[u8; 192] = b"\
aaaaaa*ceeeeiiiidnooooo*ouuuuy**\
aaaaaa*ceeeeiiiidnooooo*ouuuuy*y\
aaaaaaccccccccddddeeeeeeeeeegggg\
gggghhhhiiiiiiiiii**jjkkklllllll\
lllnnnnnnnnnoooooo**rrrrrrssssss\
ssttttttuuuuuuuuuuuuwwyyyzzzzzzs";

/// Base letters of U+1E00 to U+1EFF, 32 a row.
const FROM_1E00: &[u8; 256] = b"\
aabbbbbbccddddddddddeeeeeeeeeeff\
gghhhhhhhhhhiiiikkkkkkllllllllmm\
mmmmnnnnnnnnoooooooopppprrrrrrrr\
ssssssssssttttttttuuuuuuuuuuvvvv\
wwwwwwwwwwxxxxyyzzzzzzhtwy******\
aaaaaaaaaaaaaaaaaaaaaaaaeeeeeeee\
eeeeeeeeiiiioooooooooooooooooooo\
oooouuuuuuuuuuuuuuyyyyyyyy******";

/// No letter, in the tables.
const NONE: u8 = b'*';

/// Letters that are typed as two.
fn pair(letter: char) -> Option<&'static str> {
    Some(match letter {
        'Æ' | 'æ' => "ae",
        'Œ' | 'œ' => "oe",
        'Þ' | 'þ' => "th",
        'ß' | 'ẞ' => "ss",
        'Ĳ' | 'ĳ' => "ij",
        _ => return None,
    })
}

/// The base letter of an accented one outside the two tables.
fn stray(letter: char) -> Option<char> {
    Some(match letter {
        'Ə' | 'ə' => 'e',
        'Ơ' | 'ơ' | 'Ǫ' | 'ǫ' => 'o',
        'Ư' | 'ư' => 'u',
        'Ǵ' | 'ǵ' | 'Ǧ' | 'ǧ' => 'g',
        'Ș' | 'ș' => 's',
        'Ț' | 'ț' => 't',
        _ => return None,
    })
}

/// The base letter from the tables.
fn tabled(letter: char) -> Option<char> {
    let from = |table: &[u8], first: u32| {
        let place = u32::from(letter).checked_sub(first)?;
        table.get(usize::try_from(place).ok()?).copied()
    };
    from(FROM_C0, 0xC0)
        .or_else(|| from(FROM_1E00, 0x1E00))
        .filter(|plain| *plain != NONE)
        .map(char::from)
}

/// Marks within a word that are ignored: apostrophes and combining accents.
fn is_silent(letter: char) -> bool {
    matches!(
        letter,
        '\'' | '`' | '´' | '‘' | '’' | 'ʻ' | 'ʼ' | 'ʾ' | 'ʿ' | '\u{300}'..='\u{36F}'
    )
}

/// Replaces `folded` by the folded name.
///
/// Anything else between words (blanks, hyphens, brackets) becomes one blank;
/// letters of other scripts stay as they are.
pub fn append_search_key(folded: &mut String, name: &str) {
    folded.clear();
    let mut parted = false;
    for letter in name.chars().filter(|letter| !is_silent(*letter)) {
        let pair = pair(letter);
        let plain = tabled(letter)
            .or_else(|| stray(letter))
            .unwrap_or(letter)
            .to_ascii_lowercase();
        if pair.is_none() && (plain.is_ascii() || plain == '–') && !plain.is_ascii_alphanumeric()
        {
            parted = true;
            continue;
        }
        if parted && !folded.is_empty() {
            folded.push(' ');
        }
        parted = false;
        match pair {
            Some(pair) => folded.push_str(pair),
            None => folded.push(plain),
        }
    }
}

/// The search key of a name; see [`append_search_key`].
///
/// ```
/// use tarnlight::outing::gazetteer::search_key::search_key;
/// assert_eq!(search_key("  Saint-Étienne "), "saint etienne");
/// ```
pub fn search_key(name: &str) -> String {
    let mut folded = String::with_capacity(name.len());
    append_search_key(&mut folded, name);
    folded
}

/// Rank of a match, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum MatchRank {
    /// The whole name.
    Whole,
    /// The start of a word.
    WordStart,
    /// Inside a word.
    Inside,
}

impl MatchRank {
    /// From two search keys; `None` without a match.
    pub fn new(name: &str, typed: &str) -> Option<Self> {
        if name == typed {
            return Some(Self::Whole);
        }
        let starts_word = |at: usize| at == 0 || name.as_bytes().get(at - 1) == Some(&b' ');
        // an empty text matches before every word
        let length = typed.len().max(1);
        let windows = name.as_bytes().windows(length).enumerate();
        let found = windows.filter(|(_, window)| window.starts_with(typed.as_bytes()));
        let mut found = found.map(|(at, _)| at).peekable();
        found.peek()?;
        Some(if found.any(starts_word) {
            Self::WordStart
        } else {
            Self::Inside
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_with_cold_thumbs() {
        let table = [
            ("Köln", "koln"),
            ("KØBENHAVN", "kobenhavn"),
            ("Łódź", "lodz"),
            ("İstanbul", "istanbul"),
            ("Diyarbakır", "diyarbakir"),
            ("Þórshöfn", "thorshofn"),
            ("Ærøskøbing", "aeroskobing"),
            ("Gießen", "giessen"),
            ("Đà Nẵng", "da nang"),
            ("Thủ Đức", "thu duc"),
            ("Bacău", "bacau"),
            ("Iași", "iasi"),
            ("Gəncə", "gence"),
            ("São Tomé", "sao tome"),
            ("L'Aquila", "laquila"),
            ("Xi’an", "xian"),
            ("Saint-Denis", "saint denis"),
            ("Frankfurt (Oder)", "frankfurt oder"),
            ("  St.  John's ", "st johns"),
            // a combining acute, as some keyboards send it
            ("Jose\u{301}", "jose"),
            ("東京", "東京"),
            ("–", ""),
            ("", ""),
        ];
        for (name, want) in table {
            assert_eq!(search_key(name), want, "{name}");
        }
    }

    /// Capital and small letters have the same key.
    #[test]
    fn capitals_fold_as_small_letters_do() {
        let latin = ('\u{C0}'..='\u{24F}').chain('\u{1E00}'..='\u{1EFF}');
        for letter in latin.filter(|letter| tabled(*letter).is_some()) {
            let small: String = letter.to_lowercase().collect();
            assert_eq!(
                search_key(&letter.to_string()),
                search_key(&small),
                "{letter}"
            );
        }
    }

    #[test]
    fn a_word_begun_is_better_than_a_piece_of_one() {
        let table = [
            ("york", Some(MatchRank::Whole)),
            ("new york", Some(MatchRank::WordStart)),
            ("yorkyork york", Some(MatchRank::WordStart)),
            ("new newyork", Some(MatchRank::Inside)),
            ("yor", None),
        ];
        for (name, want) in table {
            assert_eq!(MatchRank::new(name, "york"), want, "{name}");
        }
        assert!(
            MatchRank::Whole < MatchRank::WordStart && MatchRank::WordStart < MatchRank::Inside
        );
    }
}
