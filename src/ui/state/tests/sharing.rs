//! Outings, kits and sites that come by a link, a file or another tab.

use super::*;

fn import(text: &str) -> Action {
    ShareAction::Import(Rc::new(file::read(text))).into()
}

/// A page on which the Share sheet is open.
fn sharing(document: Document) -> State {
    holding(document).after(RouteAction::Open(Sheet::Share))
}

#[test]
fn an_outing_that_arrives_is_announced_and_loses_nothing() {
    let state = start().after(KitEdit::FocalLength(85.0));
    let own = state.document().id;
    let arrived = state.after(link("v=1&mm=35&place=A+pass"));
    assert_eq!(arrived.focal_mm(), 35.0);
    assert_ne!(
        arrived.document().id,
        own,
        "a place of its own in the recent ones"
    );
    let announced = Notice::OutingArrived {
        name: "A pass".to_owned(),
        previous: own,
    };
    assert_eq!(arrived.notices.0, [announced]);
    assert_eq!(arrived.after(Action::Undo).document(), state.document());
    // also after it was edited
    let edited = arrived.after(ExposureEdit::StepFNumber(true));
    let back = edited.after(Action::ReturnTo(own));
    assert_eq!(back.document(), state.document());
    assert_eq!(back.after(Action::Undo).document(), edited.document());
    let again = arrived.after(link("v=1&mm=35&place=A+pass"));
    assert_eq!(again, arrived, "the same link changes nothing");
}

/// What arrives is read first as a whole; the outing in use already, and what cannot be read, open
/// nothing.
#[test]
fn an_outing_that_arrives_opens_on_its_card() {
    let state = start().after(RouteAction::Open(Sheet::Kit));
    let arrived = state.after(link("v=1&mm=35"));
    assert_eq!(arrived.routes.sheets, [Sheet::FieldCard]);
    assert!(arrived.shows_code() && arrived.stays_awake());
    let effects = state.clone().reduce(link("v=1&mm=35"));
    assert!(effects.contains(&Effect::Advance(arrived.routes.clone())));
    assert!(effects.contains(&Effect::DrawCode));
    let closed = arrived.after(RouteAction::Close);
    let again = closed.after(link("v=1&mm=35"));
    assert_eq!(again.routes.sheets, [], "it is in use already");
    assert_eq!(state.after(link("v=1&mm=0")).routes, state.routes);
}

#[test]
fn a_bad_link_says_so_and_loses_nothing() {
    let state = start().after(KitEdit::FocalLength(85.0));
    let state = state.after(link("v=9"));
    assert_eq!((state.focal_mm(), state.notices.0.len()), (85.0, 1));
    let after = state.after(link("v=1&mm=0&lat=999&night=2026-02-31"));
    assert_eq!(
        after.document(),
        state.document(),
        "what was meant is not known"
    );
    let state = state.after(NoticesAction::Dismiss(0));
    assert!(state.notices.0.is_empty());
}

#[test]
fn lists_that_another_tab_stored_are_kept_through_undo_and_redo() {
    let state = start()
        .after(ListsEdit::SaveKit)
        .after(ListsEdit::Tick(5, true));
    let stored = SavedLists {
        kits: vec![kit("theirs"), Kit::default()],
        sites: vec![Site::default()],
        ticks: 1 << 5 | 1 << 9,
        ..SavedLists::default()
    };
    let merged = state.after(Action::ListsStored(Box::new(stored.clone())));
    assert_eq!(merged.document().kits, stored.kits);
    let undone = merged.after(Action::Undo).after(Action::Undo);
    assert_eq!(
        undone.document().kits,
        [kit("theirs")],
        "only ours is undone"
    );
    assert_eq!(undone.document().ticks, 1 << 9);
    assert_eq!(undone.document().sites, stored.sites);
    let redone = undone.after(Action::Redo).after(Action::Redo);
    assert_eq!(redone.document(), merged.document());
}

#[test]
fn a_duplicated_tab_takes_another_identifier() {
    let state = start().after(KitEdit::FocalLength(85.0));
    let taken = state.document().id;
    let after = state.after(Action::OutingIdTaken(taken));
    assert_ne!(after.document().id, taken);
    assert_ne!(after.after(Action::Undo).document().id, taken);
    assert_eq!(after.outing(), state.outing());
}

#[test]
fn what_a_file_holds_stands_first_and_is_undone_whole() {
    let state = sharing(Document {
        kits: vec![kit("a"), kit("b")],
        ..Document::default()
    });
    let text = file::write_lists(&[kit("c"), kit("b"), kit("d")], &[Site::default()]);
    let after = state.after(import(&text));
    let names: Vec<_> = after
        .document()
        .kits
        .iter()
        .map(|kit| &kit.name[..])
        .collect();
    assert_eq!(names, ["c", "d", "a", "b"]);
    let message = after.share.message.as_deref();
    let wanted = "2 kits taken in. 1 kit here already. 1 site taken in.";
    assert_eq!(message, Some(wanted));
    assert_eq!(after.after(Action::Undo).document(), state.document());
    // a second file is undone by itself
    let second = after.after(import("v=1&mm=85"));
    assert_eq!(second.after(Action::Undo).document(), after.document());
}

#[test]
fn nothing_of_ones_own_is_pushed_out() {
    let own: Vec<_> = (1..MOST_KITS).map(|n| kit(&n.to_string())).collect();
    let text = file::write_lists(&[kit("x"), kit("y")], &[]);
    let state = sharing(Document {
        kits: own.clone(),
        ..Document::default()
    });
    let after = state.after(import(&text));
    assert_eq!(after.document().kits.len(), MOST_KITS);
    assert_eq!(after.document().kits[1..], own);
    let message = after.share.message.expect("a sentence");
    assert_eq!(
        message,
        "1 kit taken in. 1 kit left out: 30 are kept at most."
    );
}

#[test]
fn an_outing_of_a_file_is_announced_and_rubbish_changes_nothing() {
    let state = sharing(Document::default());
    let after = state.after(import("https://example.org/#v=1&mm=85&colour=blue"));
    assert_eq!(after.focal_mm(), 85.0);
    let message = after.share.message.clone().expect("a sentence");
    assert!(
        message.ends_with("colour: means nothing here."),
        "{message}"
    );
    assert!(matches!(
        after.notices.0[..],
        [Notice::OutingArrived { .. }]
    ));
    assert_eq!(after.after(Action::Undo).document(), state.document());
    for (text, message) in [
        (
            "<html>",
            "this is neither a file of ours nor a link to an outing",
        ),
        ("tarnlight 1", "This file holds nothing."),
    ] {
        let after = state.after(import(text));
        assert_eq!(after.history, state.history);
        assert_eq!(after.share.message.as_deref(), Some(message));
    }
}

#[test]
fn what_is_saved_is_in_the_accuracy_of_what_is_stored() {
    let found = Coordinates {
        latitude: Angle::from_degrees(46.512_345_678),
        longitude: Angle::from_degrees(9.912_345_678),
        height_m: None,
    };
    let state = start().after(SiteAction::Located(Ok(found)));
    let saved = state.after(ListsEdit::SaveSite);
    let written = query::read(&file::site_line(&saved.document().sites[0]));
    assert_eq!(saved.document().sites, [written.outing.site]);
    assert_eq!(
        saved.outing().site,
        saved.document().sites[0],
        "shown as saved"
    );
    // so that what another tab reads from the storage is no change
    let stored = SavedLists {
        sites: saved.document().sites.clone(),
        ..SavedLists::default()
    };
    let heard = saved.after(Action::ListsStored(Box::new(stored)));
    assert_eq!(heard.history, saved.history);
    assert!(heard.after(Action::Undo).document().sites.is_empty());
}

/// The browser is asked to keep things by whatever keeps the first, and not by what another tab
/// keeps or by an edit that plans nothing.
#[test]
fn what_is_kept_for_good_is_asked_for() {
    let asks = |state: &State, action: Action| {
        let effects = state.clone().reduce(action);
        effects.contains(&Effect::RequestPersistence)
    };
    let pass = Coordinates {
        latitude: Angle::from_degrees(46.5),
        longitude: Angle::from_degrees(9.9),
        height_m: None,
    };
    let recent = Outing {
        f_number: 4.0,
        ..Outing::default()
    };
    let night = NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date");
    let lists = file::write_lists(&[kit("c")], &[]);
    let planned = "tarnlight 1\nouting v=1&mm=35\n";
    let keeping: [(&str, Action); 8] = [
        ("a kit", ListsEdit::SaveKit.into()),
        ("a site", ListsEdit::SaveSite.into()),
        ("a night", ListsEdit::KeepNight(night).into()),
        ("a file's kits", import(&lists)),
        ("a file's outing", import(planned)),
        ("a link's outing", link("v=1&mm=35")),
        (
            "a recent outing",
            Action::OpenRecent(OutingId(9), Box::new(recent)),
        ),
        ("a place", SiteAction::Located(Ok(pass)).into()),
    ];
    for (what, action) in keeping {
        assert!(asks(&sharing(Document::default()), action), "{what}");
    }
    let theirs = SavedLists {
        kits: vec![kit("theirs")],
        ..SavedLists::default()
    };
    let others: [(&str, Action); 4] = [
        ("a lens", KitEdit::FocalLength(85.0).into()),
        ("a tick", ListsEdit::Tick(5, true).into()),
        ("another tab's kit", Action::ListsStored(Box::new(theirs))),
        ("another identifier", Action::OutingIdTaken(OutingId(0))),
    ];
    for (what, action) in others {
        assert!(!asks(&start(), action), "{what}");
    }
}
