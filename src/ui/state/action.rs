//! What can happen to the page, and what kinds of change it makes.

use std::rc::Rc;

use chrono::{DateTime, NaiveDate, Utc};

use crate::camera::focus::Focus;
use crate::camera::frame::Frame;
use crate::camera::photo::PhotoFacts;
use crate::camera::rules::Rule;
use crate::camera::sharpness::Sharpness;
use crate::land::declination::Declination;
use crate::land::ridge::RidgeLine;
use crate::land::survey::Surveyed;
use crate::light::tracking::Mount;
use crate::outing::gazetteer::parse::Coordinates;
use crate::outing::plan::camera_body::CameraBody;
use crate::outing::plan::kit::Kit;
use crate::outing::plan::limits::Limits;
use crate::outing::plan::site::Site;
use crate::outing::plan::{KeepSharp, Orientation, Support, Weather};
use crate::outing::share::file::SharedFile;
use crate::outing::share::query::DecodedPlan;
use crate::sky::almanac::SkyBody;
use crate::ui::state::Notice;
use crate::ui::state::drafts::{DeviceTilt, Drafts};
use crate::ui::state::routes::{Screen, Sheet, Theme};
use crate::ui::state::share::DrawnCode;

/// Kinds of change to what is kept. Several of the same kind in a row, as when
/// a stepper is held, are undone together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// Focal length.
    Focal,
    /// f-number.
    FNumber,
    /// Trail allowed, or what the picture is for.
    Sharpness,
    /// Place that must stay sharp.
    KeepSharp,
    /// How the camera is held.
    Held,
    /// Where the lens is focused.
    Focus,
    /// The tracker's errors.
    Mount,
    /// The site, typed or found.
    Site,
    /// A saved site taken in place of the one in use.
    SiteTaken,
    /// A site added to the list.
    SiteSaved,
    /// A site removed from the list.
    SiteRemoved,
    /// The ridge line.
    Ridge,
    /// Where the camera points.
    Frame,
    /// What must hold for a shot window.
    Limits,
    /// The night.
    Night,
    /// The minute looked at.
    Minute,
    /// The kit in use.
    Kit,
    /// A saved kit taken in place of the one in use.
    Taken,
    /// A kit added to the list.
    Saved,
    /// A kit removed from the list.
    Removed,
    /// What is known of the body.
    Body,
    /// How dark the site's sky is.
    Darkness,
    /// How much light is lost in the site's air.
    Extinction,
    /// How bright the subject is.
    Glow,
    /// ISO.
    Iso,
    /// Time in all.
    Stack,
    /// What the camera stands on.
    Support,
    /// The air.
    Weather,
    /// A line of a list ticked, or no longer.
    Tick,
    /// The ticks of a list cleared.
    Clear,
    /// A whole outing from an address.
    Arrival,
    /// What a file held.
    Carried,
    /// An undo; the next one brings back what this one took.
    Undo,
}

/// What happened.
#[derive(Debug, Clone)]
pub enum Action {
    /// The focal length was stepped up or down.
    FocalStepped(bool),
    /// The f-number was stepped up or down.
    FNumberStepped(bool),
    /// The trail allowed was stepped up or down.
    TrailStepped(bool),
    /// A focal length was typed, mm.
    FocalTyped(f64),
    /// An f-number was typed.
    FNumberTyped(f64),
    /// A purpose was chosen.
    SharpnessChosen(Sharpness),
    /// A place was chosen.
    KeepSharpChosen(KeepSharp),
    /// The camera was turned.
    HeldChosen(Orientation),
    /// A focus was chosen.
    FocusChosen(Focus),
    /// The tracker was changed.
    MountTyped(Mount),
    /// Another lens is looked at; nothing for the one in use.
    LensTried(Option<f64>),
    /// The pictures of the four ways were drawn, or not.
    PatchesDrawn(Result<Vec<Rc<[u8]>>, String>),
    /// The site was changed.
    SiteEdited(Box<Site>),
    /// The phone was asked where it is.
    Located(Result<Coordinates, String>),
    /// A town was typed.
    TownSought(String),
    /// A town was taken.
    TownTaken(Box<Site>),
    /// The list of towns was opened, or not.
    TownsOpened(Result<(), String>),
    /// The site was saved.
    SiteSaved,
    /// A saved site was taken.
    SiteTaken(usize),
    /// A saved site was removed.
    SiteRemoved(usize),
    /// The sighting in the making was changed.
    Drafted(Box<Drafts>),
    /// The phone's sensors told how it is held.
    Leaned(DeviceTilt),
    /// The phone's sensors tell nothing, and why.
    LeaningFailed(String),
    /// The magnetic model told the declination at the site, `None` where it has none.
    DeclinationTold(Result<Option<Declination>, String>),
    /// The phone was said to point at a body now.
    BodyPointed(SkyBody),
    /// A table or tiles of heights were opened, and are being read.
    SkylineOpened,
    /// A skyline was read, and takes the place of the sightings.
    SkylineRead(Result<Vec<Surveyed>, String>),
    /// The ridge line was changed.
    RidgeDrawn(Box<RidgeLine>),
    /// The camera was pointed, for a minute of a night.
    Framed(NaiveDate, u16, Frame),
    /// The camera follows the core again.
    FrameFreed,
    /// The drift map was laid over the view, or taken off.
    DriftLaid(bool),
    /// What must hold for a shot window was chosen.
    LimitsChosen(Limits),
    /// A night was chosen, by the date of its noon.
    NightChosen(NaiveDate),
    /// A night was picked from the season.
    NightPicked(NaiveDate),
    /// A month of the season was tapped, by its first night.
    MonthTapped(NaiveDate),
    /// The coming night was chosen.
    TonightChosen,
    /// A minute of a night was looked at.
    LookedAt(NaiveDate, u16),
    /// The present moment is to be looked at.
    NowTapped,
    /// The phone's clock was read.
    ClockRead(DateTime<Utc>),
    /// A screen was chosen.
    ScreenChosen(Screen),
    /// The kit in use was changed.
    KitEdited(Box<Kit>),
    /// The kit in use was saved.
    KitSaved,
    /// A saved kit was taken.
    KitTaken(usize),
    /// A saved kit was removed.
    KitRemoved(usize),
    /// What is known of the body was typed.
    BodyKnown(Box<CameraBody>),
    /// The darkness of the sky overhead was typed, magnitudes.
    DarknessTyped(f64),
    /// The light lost in the site's air was typed, magnitudes per air mass; nothing for a
    /// clear night's.
    ExtinctionTyped(Option<f64>),
    /// The brightness of the subject was typed, magnitudes.
    GlowTyped(f64),
    /// An ISO was chosen; nothing for the one suggested.
    IsoChosen(Option<f64>),
    /// The time in all was stepped up or down.
    StackStepped(bool),
    /// The time in all was typed, minutes.
    StackTyped(f64),
    /// What the camera stands on was chosen.
    SupportChosen(Support),
    /// The air was typed, or is known no longer.
    WeatherTyped(Option<Weather>),
    /// One half of it was typed: temperature or humidity.
    AirTyped([Option<f64>; 2]),
    /// A line of a list was ticked, or no longer, by its number.
    Ticked(u32, bool),
    /// The ticks of a list were cleared, by their bits.
    TicksCleared(u64),
    /// A photo was opened, and this is what it said.
    PhotoRead(Result<PhotoFacts, String>),
    /// Another shutter time was tried, thirds of a stop longer.
    ShutterTried(i32),
    /// A sheet was opened.
    SheetOpened(Sheet),
    /// The sheet was closed.
    SheetClosed,
    /// A look was chosen.
    LookChosen(Theme),
    /// The screen was asked to stay on, or no longer.
    AwakeChosen(bool),
    /// A rule's row was tapped.
    RuleTapped(Option<Rule>),
    /// The last change was taken back.
    Undone,
    /// An outing came with the address.
    Arrived(Box<DecodedPlan>),
    /// The code of the outing's link was drawn, or not.
    CodeDrawn(Rc<DrawnCode>),
    /// The link was copied, or not.
    LinkCopied(bool),
    /// A file or a link was opened, and this is what it held.
    BundleRead(Rc<Result<SharedFile, String>>),
    /// Something to say.
    Noticed(Notice),
    /// The waiting version is to be used.
    NewVersionTaken,
    /// A sentence was dismissed.
    NoticeDismissed(usize),
}
