//! One trainee's work, from its file.

use super::Work;
use crate::fair::Marker;
use crate::hand_in::{HandIn, ToldMark};
use crate::paper::Paper;
use crate::said::said;
use crate::session_kind::SessionKind;
use crate::sheet::{self, AnswerSheet};

impl Work {
    /// Reads and marks a file: a hand-in, or an answer sheet alone where no signature is asked for. `key` is that of a sealed
    /// plate. A hand-in comes with it as it was read.
    ///
    /// # Errors
    /// In a sentence with the file's name: what is wrong with it and what was expected.
    pub fn read(
        file: &str,
        bytes: &[u8],
        paper: &Paper,
        key: Option<&[u8; 32]>,
        marker: &Marker,
    ) -> Result<(Self, Option<HandIn>), String> {
        if HandIn::claimed(bytes) || key.is_some() {
            let work = HandIn::parse(file, bytes).map_err(|error| error.to_string())?;
            work.check(file, paper, key).map_err(|error| error.to_string())?;
            let kind = work.kind(paper);
            let recorded = kind == SessionKind::Recorded;
            let marks = match recorded {
                true => kind.tell(marker.mark_sheet(work.sheet())),
                false => marker.mark(&work.log),
            };
            let remarks = match work.told_mark().filter(|told| *told != ToldMark::of(&marks)) {
                None if recorded => vec![said!("said.remark.recorded")],
                None => Vec::new(),
                Some(told) => vec![said!("said.remark.told", told_mark = told.percent)],
            };
            let marked = Self {
                file: file.to_owned(),
                sitter: work.sitter().to_owned(),
                used_ms: Some(work.used_ms()),
                sheet: work.sheet().clone(),
                marks,
                remarks,
            };
            return Ok((marked, Some(work)));
        }
        if bytes.len() > sheet::SIZE_LIMIT_BYTES {
            return Err(format!("{file}: is too large, expected an answer sheet or a hand-in"));
        }
        let sheet = AnswerSheet::parse(file, bytes).map_err(|error| error.to_string())?;
        if let Some(id) = sheet.plate_id.as_ref().filter(|id| **id != paper.plate.id) {
            return Err(format!("{file}: is for plate {id}, expected plate {}", paper.plate.id));
        }
        let marks = marker.mark_sheet(&sheet);
        let (file, remarks) = (file.to_owned(), vec![said!("said.remark.no_log")]);
        Ok((Self { file, sitter: String::new(), marks, sheet, used_ms: None, remarks }, None))
    }
}
