//! A typed value: a label, a box, and a plain sentence when it cannot be read.
//!
//! What is typed stays as typed; only what can be read goes on, so the last
//! good answer stands while a number is being changed.

use crate::decimal::plain;
use crate::outing::plan::bounds::Bounds;
use std::rc::Rc;

use web_sys::HtmlInputElement;
use yew::html::{onblur, oninput};
use yew::prelude::*;
use yew::virtual_dom::VTag;

use crate::ui::state::action::Action;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{aria_bool, el, el_with, nothing, say, text};

/// Reads what is typed, or says what is wrong with it.
pub type Read = Callback<String, Result<Action, String>>;

/// What a field shows.
pub struct TextField {
    /// Identifies the field in the document.
    pub id: &'static str,
    /// Label.
    pub label: &'static str,
    /// Unit shown behind the box; may be empty.
    pub unit: &'static str,
    /// The value as it would be typed.
    pub value: String,
    /// Whether the phone offers digits only.
    pub digits: bool,
    /// Whether the box is ready to type in as soon as it appears.
    pub ready: bool,
}

/// What a field is called: its place in the document, its label, its unit.
pub type About = (&'static str, &'static str, &'static str);

impl TextField {
    /// A field for a number without a minus, for which the phone offers digits only.
    pub fn digits(about: About, value: String) -> Self {
        Self {
            digits: true,
            ..Self::words(about, value)
        }
    }

    /// A field for anything else.
    pub fn words((id, label, unit): About, value: String) -> Self {
        Self {
            id,
            label,
            unit,
            value,
            digits: false,
            ready: false,
        }
    }
}

/// A typed value: `read` makes an action of it, which is reported.
pub fn text_field(field: TextField, read: Read, dispatch: &Dispatch) -> Html {
    optional_text_field(field, String::new(), read, dispatch)
}

/// A typed number or angle: `action` makes of it what is reported.
pub fn number_field<A: Into<Action> + 'static>(
    about: About,
    value: f64,
    bounds: Bounds,
    action: fn(f64) -> A,
    dispatch: &Dispatch,
) -> Html {
    let angle = about.2 == "°";
    let read: Read = Callback::from(move |typed: String| {
        let value = if angle {
            bounds.read_angle(&typed)?.degrees()
        } else {
            bounds.read(&typed)?
        };
        Ok(action(value).into())
    });
    text_field(TextField::words(about, plain(value)), read, dispatch)
}

/// One that may be left empty; its label says what holds then.
pub fn optional_text_field(
    field: TextField,
    hint: String,
    read: Read,
    dispatch: &Dispatch,
) -> Html {
    let TextField {
        id,
        label,
        unit,
        value,
        digits,
        ready,
    } = field;
    html! { <Typed {id} {label} {unit} {value} {hint} {digits} {ready} {read} dispatch={dispatch.clone()} /> }
}

#[derive(Properties, PartialEq)]
struct TypedProps {
    id: &'static str,
    label: &'static str,
    unit: &'static str,
    value: AttrValue,
    hint: AttrValue,
    digits: bool,
    ready: bool,
    read: Read,
    dispatch: Dispatch,
}

/// The box, what is typed in it, and what is wrong with that.
struct Typed {
    input: NodeRef,
    /// The text as typed, while it differs from the value in force.
    text: Option<AttrValue>,
    wrong: Option<String>,
    /// Whether the next change of the value is this box's own.
    own: bool,
}

/// What happens to a box.
enum Touched {
    Typed(String),
    Left,
}

impl Component for Typed {
    type Message = Touched;
    type Properties = TypedProps;

    fn create(_: &Context<Self>) -> Self {
        Self {
            input: NodeRef::default(),
            text: None,
            wrong: None,
            own: false,
        }
    }

    fn update(&mut self, context: &Context<Self>, touched: Touched) -> bool {
        match touched {
            Touched::Typed(text) => {
                let props = context.props();
                self.wrong = match props.read.emit(text.clone()) {
                    Ok(action) => {
                        self.own = true;
                        props.dispatch.emit(action);
                        None
                    }
                    Err(wrong) => Some(wrong),
                };
                self.text = Some(text.into());
            }
            // a text that was read well gives way to the value as it is written
            Touched::Left if self.wrong.is_none() => {
                self.text = None;
                self.own = false;
            }
            Touched::Left => return false,
        }
        true
    }

    fn changed(&mut self, context: &Context<Self>, old: &TypedProps) -> bool {
        // The box's own change keeps the text as it is being typed; one from
        // elsewhere replaces it.
        let own = std::mem::take(&mut self.own);
        if !own && context.props().value != old.value {
            self.text = None;
            self.wrong = None;
        }
        true
    }

    fn rendered(&mut self, context: &Context<Self>, first: bool) {
        if first
            && context.props().ready
            && let Some(input) = self.input.cast::<HtmlInputElement>()
        {
            // a box that cannot take the focus is still there to be tapped
            let _ = input.focus();
            input.select();
        }
    }

    fn view(&self, context: &Context<Self>) -> Html {
        let props = context.props();
        let link = context.link();
        let typed = link.batch_callback(|event: InputEvent| {
            let input = event.target_dyn_into::<HtmlInputElement>();
            input.map(|input| Touched::Typed(input.value()))
        });
        let left = link.callback(|_: FocusEvent| Touched::Left);
        let message = format!("{}-told", props.id);
        let value = self.text.as_ref().unwrap_or(&props.value).clone();
        let mut input = VTag::new("input");
        for (key, value) in [
            ("id", props.id),
            ("type", "text"),
            ("inputmode", if props.digits { "decimal" } else { "text" }),
            ("autocomplete", "off"),
            ("autocapitalize", "off"),
            ("spellcheck", "false"),
            ("maxlength", "60"),
            ("aria-invalid", aria_bool(self.wrong.is_some())),
        ] {
            input.add_attribute(key, value);
        }
        input.add_attribute("aria-describedby", message.clone());
        input.set_value(value);
        input.node_ref = self.input.clone();
        input.add_listener(Rc::new(oninput::Wrapper::new(typed)));
        input.add_listener(Rc::new(onblur::Wrapper::new(left)));
        let unit = if props.unit.is_empty() {
            nothing()
        } else {
            say(
                "span",
                &[("class", "unit"), ("aria-hidden", "true")],
                props.unit,
            )
        };
        let label = vec![("for", props.id.to_owned())];
        let mut labelled = vec![text(props.label)];
        if !props.hint.is_empty() {
            labelled.push(say("small", &[], props.hint.clone()));
        }
        let wrong = self.wrong.clone().unwrap_or_default();
        let parts = vec![
            el_with("label", &[], label, labelled),
            el("span", &[("class", "box")], vec![input.into(), unit]),
            el_with(
                "p",
                &[("class", "told"), ("role", "status")],
                vec![("id", message)],
                vec![text(wrong)],
            ),
        ];
        el("div", &[("class", "field")], parts)
    }
}
