//! How far the measuring of a frame has come.

use serde::{Deserialize, Serialize};

use crate::listed::listed;

listed! {
    /// What is being done, in the order in which it is.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
    pub enum Stage {
        /// The file is read and decoded.
        Reading,
        /// Stars and the border of sky and ground are sought.
        Finding,
        /// Shapes are fitted to the stars.
        Measuring,
        /// The stars are sought among those that are known.
        Identifying,
    }
}
