//! A stretch of time at the bench: the motor energized, or the rest after it.

/// What a stretch is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The start button is held: the time must not grow longer than its limit.
    Energized,
    /// The winding cools: the time must not be shorter than its limit.
    Rest,
}

/// How far a stretch has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// It has time left.
    Running,
    /// The limit of an energized stretch is near: get ready to let go.
    Warning,
    /// The limit is reached: let go now, or go on after the rest.
    Over,
}

/// A stretch with its limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stretch {
    /// What it is.
    pub kind: Kind,
    /// Longest time energized, shortest time of rest, in milliseconds.
    pub limit_ms: u64,
}

/// So long before its limit an energized stretch warns; one shorter than twice this warns after half of its time.
pub const WARNING_MS: u64 = 2000;

impl Stretch {
    /// The stage after so many milliseconds.
    pub fn stage(self, elapsed_ms: u64) -> Stage {
        let warning = WARNING_MS.min(self.limit_ms / 2);
        if elapsed_ms >= self.limit_ms {
            Stage::Over
        } else if self.kind == Kind::Energized && elapsed_ms >= self.limit_ms - warning {
            Stage::Warning
        } else {
            Stage::Running
        }
    }

    /// The big figures: what is left, and past the limit of an energized stretch by how much.
    ///
    /// Time left is rounded up and time over is rounded down: zero stands there when the limit is reached, not before.
    pub fn figures(self, elapsed_ms: u64) -> String {
        let left = self.limit_ms.saturating_sub(elapsed_ms);
        match self.kind {
            Kind::Rest => clock(left.div_ceil(1000)),
            Kind::Energized if left == 0 => ["+", &tenths((elapsed_ms - self.limit_ms) / 100)].concat(),
            Kind::Energized => tenths(left.div_ceil(100)),
        }
    }

    /// The limit in words: `5 s` energized, `2:00` of rest.
    pub fn limit(self) -> String {
        self.time(self.limit_ms).replace(".0", "")
    }

    /// A time of this kind in words: `4.2 s` energized, `2:00` of rest.
    pub fn time(self, ms: u64) -> String {
        match self.kind {
            Kind::Rest => clock(ms / 1000),
            Kind::Energized => [&tenths(ms / 100), "\u{a0}s"].concat(),
        }
    }
}

/// Tenths of a second as seconds: `4.2`.
fn tenths(tenths: u64) -> String {
    [&(tenths / 10).to_string(), ".", &(tenths % 10).to_string()].concat()
}

/// Seconds as minutes and seconds: `2:00`.
fn clock(seconds: u64) -> String {
    let rest = seconds % 60;
    let zero = if rest < 10 { "0" } else { "" };
    [&(seconds / 60).to_string(), ":", zero, &rest.to_string()].concat()
}

#[cfg(test)]
mod tests {
    use super::*;

    const PRESS: Stretch = Stretch { kind: Kind::Energized, limit_ms: 5000 };
    const REST: Stretch = Stretch { kind: Kind::Rest, limit_ms: 120_000 };

    #[test]
    fn an_energized_stretch_warns_two_seconds_before_its_limit() {
        for (elapsed, stage, figures) in [
            (0, Stage::Running, "5.0"),
            (1, Stage::Running, "5.0"),
            (2999, Stage::Running, "2.1"),
            (3000, Stage::Warning, "2.0"),
            (4999, Stage::Warning, "0.1"),
            (5000, Stage::Over, "+0.0"),
            (5099, Stage::Over, "+0.0"),
            (6250, Stage::Over, "+1.2"),
        ] {
            assert_eq!(
                (PRESS.stage(elapsed), PRESS.figures(elapsed).as_str()),
                (stage, figures),
                "{elapsed}"
            );
        }
    }

    #[test]
    fn a_short_stretch_warns_at_half_of_it() {
        let short = Stretch { limit_ms: 1000, ..PRESS };
        assert_eq!(short.stage(499), Stage::Running);
        assert_eq!(short.stage(500), Stage::Warning);
        assert_eq!(short.stage(1000), Stage::Over);
        let nothing = Stretch { limit_ms: 0, ..PRESS };
        assert_eq!(nothing.stage(0), Stage::Over);
    }

    #[test]
    fn a_rest_counts_down_and_never_warns() {
        for (elapsed, stage, figures) in [
            (0, Stage::Running, "2:00"),
            (1, Stage::Running, "2:00"),
            (1000, Stage::Running, "1:59"),
            (110_500, Stage::Running, "0:10"),
            (119_999, Stage::Running, "0:01"),
            (120_000, Stage::Over, "0:00"),
            (900_000, Stage::Over, "0:00"),
        ] {
            assert_eq!((REST.stage(elapsed), REST.figures(elapsed).as_str()), (stage, figures), "{elapsed}");
        }
    }

    #[test]
    fn times_are_not_rounded_up() {
        assert_eq!(PRESS.time(4299), "4.2\u{a0}s");
        assert_eq!(REST.time(119_999), "1:59");
        assert_eq!(REST.time(3_600_000), "60:00");
        assert_eq!(PRESS.limit(), "5\u{a0}s");
        assert_eq!(Stretch { limit_ms: 2500, ..PRESS }.limit(), "2.5\u{a0}s");
        assert_eq!(REST.limit(), "2:00");
    }
}
