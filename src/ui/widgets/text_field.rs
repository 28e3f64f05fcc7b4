//! A typed value: a label, an input, and a plain sentence when it cannot be read.
//!
//! While somebody types, the text is checked and the sentence shown, but nothing
//! is reported: "20" on the way to "200" is not a value anybody wants. The value
//! is committed when it is finished: the field is left, Enter is pressed, or the
//! sheet closes. A text that cannot be read is never committed, and a sheet is not
//! left by its Done while it holds one (see `widgets/dialog`).
//!
//! A box that is touched has its text selected: what is typed replaces it. A number
//! with bounds stands between two keys that step it.

use std::cell::Cell;

use web_sys::{HtmlInputElement, KeyboardEvent};
use yew::prelude::*;

use crate::decimal::plain;
use crate::outing::plan::bounds::Bounds;
use crate::ui::state::action::Action;
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::stepper::RepeatButton;

/// Makes an action of what is typed, or a sentence on what is wrong with it.
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
    /// Whether the box has the focus as soon as it appears.
    pub ready: bool,
    /// Whether each keystroke is reported at once, as a search needs it; the value shown is
    /// then the text as typed.
    pub live: bool,
    /// Bounds of a number that two keys step; `None` without keys.
    pub steps: Option<Bounds>,
}

/// What names a field: its id in the document, its label, its unit.
pub type About = (&'static str, &'static str, &'static str);

impl TextField {
    /// A field for a number without a minus sign, for which the phone offers digits only.
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
            live: false,
            steps: None,
        }
    }

    /// The field between two keys that step its number within these bounds.
    pub fn stepped(self, bounds: Bounds) -> Self {
        Self {
            steps: Some(bounds),
            ..self
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
    let field = TextField {
        // a phone's digits have no minus, and angles may be typed in minutes
        digits: !angle && bounds.least >= 0.0,
        ..TextField::words(about, plain(value)).stepped(bounds)
    };
    text_field(field, read, dispatch)
}

/// One that may be left empty; the hint in its label states what applies then.
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
        live,
        steps,
    } = field;
    // another id is another field, which starts without the text of the one it replaces
    html! {
        <TextInput
            key={id}
            {id}
            {label}
            {unit}
            {value}
            {hint}
            {digits}
            {ready}
            {live}
            {steps}
            {read}
            dispatch={dispatch.clone()}
        />
    }
}

#[derive(Properties, PartialEq)]
struct TextInputProps {
    id: &'static str,
    label: &'static str,
    unit: &'static str,
    value: AttrValue,
    hint: AttrValue,
    digits: bool,
    ready: bool,
    live: bool,
    steps: Option<Bounds>,
    read: Read,
    dispatch: Dispatch,
}

/// The input, the text in it while that is not committed, and what is wrong with it.
struct TextInput {
    input: NodeRef,
    /// The text as typed; `None` while the value in force is shown.
    text: Option<AttrValue>,
    error: Option<String>,
    /// Whether it has just got the focus: a click that gives it would set the caret and undo the
    /// selection.
    touched: Cell<bool>,
}

enum TextInputMessage {
    Typed(String),
    /// The field was left, or Enter was pressed in it.
    Finished,
    /// It has the focus.
    Focused,
    /// It was clicked.
    Clicked,
    /// A key steps the number, up or else down.
    Stepped(bool),
    /// The text is given up for the value in force.
    Dropped,
}

impl TextInput {
    /// The key that leaves a text that cannot be read for the value in force.
    fn discard_key(&self, context: &Context<Self>) -> Html {
        let TextInputProps {
            unit, value, live, ..
        } = context.props();
        if self.error.is_none() || *live {
            return Html::default();
        }
        let onclick = context
            .link()
            .callback(|_: MouseEvent| TextInputMessage::Dropped);
        let word = if value.is_empty() {
            "Clear".to_owned()
        } else {
            format!("Keep {value} {unit}").trim_end().to_owned()
        };
        html! { <button type="button" {onclick}>{ word }</button> }
    }

    fn select(&self) {
        if let Some(input) = self.input.cast::<HtmlInputElement>() {
            input.select();
        }
    }

    /// Reads the text as typed and reports the action; whether it could be read.
    fn commit(&mut self, text: &AttrValue, props: &TextInputProps) -> bool {
        match props.read.emit(text.to_string()) {
            Ok(action) => {
                props.dispatch.emit(action);
                self.error = None;
            }
            Err(error) => self.error = Some(error),
        }
        self.error.is_none()
    }
}

impl Component for TextInput {
    type Message = TextInputMessage;
    type Properties = TextInputProps;

    fn create(_: &Context<Self>) -> Self {
        Self {
            input: NodeRef::default(),
            text: None,
            error: None,
            touched: Cell::new(false),
        }
    }

    fn update(&mut self, context: &Context<Self>, message: TextInputMessage) -> bool {
        let props = context.props();
        match message {
            TextInputMessage::Typed(text) => {
                let text = AttrValue::from(text);
                // emptied, a field that holds nothing is as it was
                if !props.live && props.value.is_empty() && text.trim().is_empty() {
                    self.text = None;
                    self.error = None;
                    return true;
                }
                if props.live {
                    self.commit(&text, props);
                } else {
                    self.error = props.read.emit(text.to_string()).err();
                }
                self.text = Some(text);
            }
            TextInputMessage::Finished => {
                // a text that cannot be read stays beside its sentence
                let Some(text) = self.text.take() else {
                    return false;
                };
                let committed = if props.live {
                    self.error.is_none()
                } else {
                    self.commit(&text, props)
                };
                if !committed {
                    self.text = Some(text);
                }
            }
            TextInputMessage::Focused => {
                self.touched.set(true);
                self.select();
                return false;
            }
            TextInputMessage::Clicked => {
                if self.touched.take() {
                    self.select();
                }
                return false;
            }
            TextInputMessage::Stepped(up) => {
                let Some(bounds) = props.steps else {
                    return false;
                };
                let value = bounds.read(&props.value).unwrap_or(bounds.least);
                self.text = None;
                self.commit(&plain(bounds.step(value, up)).into(), props);
            }
            TextInputMessage::Dropped => {
                self.text = None;
                self.error = None;
            }
        }
        true
    }

    fn changed(&mut self, context: &Context<Self>, old: &TextInputProps) -> bool {
        // A value that changed elsewhere replaces the text; the value of a live field is the
        // text itself.
        let value = &context.props().value;
        if *value != old.value && self.text.as_ref() != Some(value) {
            self.text = None;
            self.error = None;
        }
        true
    }

    fn rendered(&mut self, context: &Context<Self>, first: bool) {
        if first
            && context.props().ready
            && let Some(input) = self.input.cast::<HtmlInputElement>()
        {
            // an input that cannot take the focus can still be tapped
            let _ = input.focus();
            input.select();
        }
    }

    fn destroy(&mut self, context: &Context<Self>) {
        // Escape and Back close a sheet while the field has the focus: no event announces that
        // its text is finished.
        if !context.props().live
            && let Some(text) = self.text.take()
        {
            self.commit(&text, context.props());
        }
    }

    fn view(&self, context: &Context<Self>) -> Html {
        let TextInputProps {
            id,
            label,
            unit,
            hint,
            digits,
            steps,
            ..
        } = context.props();
        let link = context.link();
        let step = |up: bool| {
            let direction = if up { "more" } else { "less" };
            let label = format!("{label}: {direction}");
            let onstep = link.callback(move |()| TextInputMessage::Stepped(up));
            html! { <RepeatButton {label} {up} {onstep} /> }
        };
        let stepped = steps.is_some();
        let onfocus = link.callback(|_: FocusEvent| TextInputMessage::Focused);
        let onclick = link.callback(|_: MouseEvent| TextInputMessage::Clicked);
        let oninput = link.batch_callback(|event: InputEvent| {
            let input = event.target_dyn_into::<HtmlInputElement>();
            input.map(|input| TextInputMessage::Typed(input.value()))
        });
        let onchange = link.callback(|_: Event| TextInputMessage::Finished);
        let onblur = link.callback(|_: FocusEvent| TextInputMessage::Finished);
        let onkeydown = link.batch_callback(|event: KeyboardEvent| {
            // Enter that ends the composition of a word belongs to the input method
            let enter = event.key() == "Enter" && !event.is_composing();
            enter.then_some(TextInputMessage::Finished)
        });
        let error_id = format!("{id}-told");
        let value = self.text.as_ref().unwrap_or(&context.props().value);
        html! {
            <div class="field">
                <label for={*id}>
                    { *label }
                    if !hint.is_empty() {
                        <small>{ hint }</small>
                    }
                </label>
                <span class={classes!("box", stepped.then_some("stepped"))}>
                    if stepped {
                        { step(false) }
                    }
                    <input
                        ref={self.input.clone()}
                        id={*id}
                        type="text"
                        inputmode={if *digits { "decimal" } else { "text" }}
                        autocomplete="off"
                        autocapitalize="off"
                        spellcheck="false"
                        maxlength="60"
                        aria-invalid={aria_bool(self.error.is_some())}
                        aria-describedby={error_id.clone()}
                        {value}
                        {onfocus}
                        {onclick}
                        {oninput}
                        {onchange}
                        {onblur}
                        {onkeydown}
                    />
                    if !unit.is_empty() {
                        <span class="unit" aria-hidden="true">{ *unit }</span>
                    }
                    if stepped {
                        { step(true) }
                    }
                </span>
                <p class="told" role="status" id={error_id}>
                    { self.error.clone().unwrap_or_default() }
                </p>
                <div class="way-back">{ self.discard_key(context) }</div>
            </div>
        }
    }
}
