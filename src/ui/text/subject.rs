//! The words of a subject beyond its name, [`Subject::word`].

use crate::sky::subject::Subject;

/// Its name at the beginning of a sentence or on a button: `Winter band`.
pub fn capitalised(subject: Subject) -> String {
    let mut word = subject.word().to_owned();
    if let Some(first) = word.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    word
}

/// Where it is and when it is seen, for a button.
pub const fn note(subject: Subject) -> &'static str {
    match subject {
        Subject::Core => "where the Milky Way is brightest",
        Subject::ScutumCloud => "up the band from the core",
        Subject::SummerBand => "Cygnus, overhead in the north",
        Subject::WinterBand => "Orion to Gemini",
        Subject::SouthernBand => "Carina to Crux",
        Subject::MagellanicCloud => "the Large Cloud, far south",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_begin_with_a_capital() {
        for subject in Subject::ALL {
            let name = capitalised(subject);
            assert!(
                name.starts_with(|first: char| first.is_ascii_uppercase()),
                "{name}"
            );
            assert_eq!(name.to_lowercase(), subject.word().to_lowercase());
        }
        assert_eq!(capitalised(Subject::WinterBand), "Winter band");
    }
}
