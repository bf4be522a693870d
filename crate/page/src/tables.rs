//! Tables of a set-up to come, shared out among workers of the page.

use acoustics::shares::Shares;
use acoustics::table_order::TableOrder;
use instrument::set_up::SetUp;
use instrument::table_order::table_order;
use wasm_bindgen::prelude::*;

use crate::bench::{Bench, told};
use crate::session::{Session, SessionError, value};

impl Session {
    /// Orders the tables of a set-up to come, as bytes for other workers; none where a change to it needs none.
    ///
    /// # Errors
    /// A text that is no set-up.
    pub fn order_tables(&mut self, set_up: &str) -> Result<Vec<u8>, SessionError> {
        self.made = None;
        let (set_up, plate): (SetUp, _) = (exam::json::read(set_up.as_bytes())?, &self.paper.plate);
        if !set_up.needs_tables(&self.set_up)
            || !set_up.problems(&self.paper.procedure, &plate.solid).is_empty()
        {
            return Ok(Vec::new());
        }
        let order = table_order(&set_up, &plate.solid, &self.truth())?;
        let bytes = order.bytes();
        self.made = Some(Shares::new(order));
        Ok(bytes)
    }

    /// Makes one share of several of the tables last ordered.
    pub fn make_share(&mut self, index: usize, count: usize) {
        if let Some(shares) = &mut self.made {
            shares.make((index, count));
        }
    }

    /// Takes in a share of the tables last ordered, as another worker made it.
    pub fn take_share(&mut self, bytes: Vec<u8>) {
        if let Some(shares) = &mut self.made {
            shares.take_in(bytes);
        }
    }
}

/// One share of several of ordered tables, as bytes.
///
/// # Errors
/// Bytes that are no order.
pub fn share(order: &[u8], index: usize, count: usize) -> Result<Vec<u8>, SessionError> {
    let order = TableOrder::of_bytes(order).ok_or_else(|| value("order", "bytes", "an order for tables"))?;
    let mut shares = Shares::new(order);
    shares.make((index, count));
    Ok(shares.bytes())
}

/// One share of several of ordered tables, for the bench that ordered them.
#[wasm_bindgen]
pub fn table_share(order: &[u8], index: usize, count: usize) -> Result<Vec<u8>, JsError> {
    share(order, index, count).map_err(told)
}

#[wasm_bindgen]
impl Bench {
    /// Orders the tables of a set-up to come; no bytes where a change to it needs none.
    pub fn order_tables(&mut self, set_up: &str) -> Result<Vec<u8>, JsError> {
        self.session.order_tables(set_up).map_err(told)
    }

    /// Makes one share of several of them.
    pub fn make_share(&mut self, index: usize, count: usize) {
        self.session.make_share(index, count);
    }

    /// Takes in a share that another worker made.
    pub fn take_share(&mut self, bytes: Vec<u8>) {
        self.session.take_share(bytes);
    }
}
