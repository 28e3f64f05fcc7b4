//! A typed value: a label, an input, and a plain sentence when it cannot be read.
//!
//! While somebody types, the text is checked and the sentence shown, but nothing
//! is reported: "20" on the way to "200" is not a value anybody wants. The value
//! is committed when it is finished: the field is left, Enter is pressed, or the
//! sheet closes. A text that cannot be read is never committed.

use web_sys::{HtmlInputElement, KeyboardEvent};
use yew::prelude::*;

use crate::decimal::plain;
use crate::outing::plan::bounds::Bounds;
use crate::ui::state::action::Action;
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dispatch::Dispatch;

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
    read: Read,
    dispatch: Dispatch,
}

/// The input, the text in it while that is not committed, and what is wrong with it.
struct TextInput {
    input: NodeRef,
    /// The text as typed; `None` while the value in force is shown.
    text: Option<AttrValue>,
    error: Option<String>,
}

enum TextInputMessage {
    Typed(String),
    /// The field was left, or Enter was pressed in it.
    Finished,
}

impl TextInput {
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
        }
    }

    fn update(&mut self, context: &Context<Self>, message: TextInputMessage) -> bool {
        let props = context.props();
        match message {
            TextInputMessage::Typed(text) => {
                let text = AttrValue::from(text);
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
            ..
        } = context.props();
        let link = context.link();
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
                <span class="box">
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
                        {oninput}
                        {onchange}
                        {onblur}
                        {onkeydown}
                    />
                    if !unit.is_empty() {
                        <span class="unit" aria-hidden="true">{ *unit }</span>
                    }
                </span>
                <p class="told" role="status" id={error_id}>
                    { self.error.clone().unwrap_or_default() }
                </p>
            </div>
        }
    }
}
