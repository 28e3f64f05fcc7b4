//! Enums that list their values.

/// Declares an enum and the array of all its values, `ALL`, in the order of declaration: a value
/// that is added cannot be missing from it.
macro_rules! listed {
    (
        $(#[$meta:meta])*
        pub enum $name:ident {
            $($(#[$value_meta:meta])* $value:ident),* $(,)?
        }
    ) => {
        $(#[$meta])*
        pub enum $name {
            $($(#[$value_meta])* $value),*
        }

        impl $name {
            /// All values, in order.
            pub const ALL: [Self; [$(stringify!($value)),*].len()] = [$(Self::$value),*];
        }
    };
}

pub(crate) use listed;
