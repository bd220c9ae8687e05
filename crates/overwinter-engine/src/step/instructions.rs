//! Which instructions the passes of a step are done with.
//!
//! A build for any processor of a kind may use only what all of them have. Lanes are worth most in
//! the wide instructions of newer ones, so the passes are compiled for both and the choice is made
//! while the program runs. Only what is inlined into [`Stepper::passes`] is compiled for both: every
//! function that a pass calls is `#[inline(always)]`. Products and sums are never fused, so that the
//! bits are the same either way.

use overwinter_physics::number::Real;
use pulp::{Arch, NullaryFnOnce};

use super::Stepper;
use super::passes::Attempt;
use crate::account::Account;
use crate::balance::Conditions;

/// Which instructions the passes are done with.
#[derive(Clone, Copy, Debug)]
pub struct Instructions(Arch);

impl Instructions {
    /// The widest that this processor has.
    pub fn detected() -> Self {
        Self(Arch::new())
    }

    /// Those that every processor has for which the program was built.
    pub fn baseline() -> Self {
        Self(Arch::Scalar)
    }
}

struct Passes<'a, R> {
    stepper: &'a mut Stepper<R>,
    attempt: Attempt<R>,
    conditions: &'a Conditions<R>,
    account: &'a mut Account<R>,
}

impl<R: Real> NullaryFnOnce for Passes<'_, R> {
    type Output = R;

    #[inline(always)]
    fn call(self) -> R {
        self.stepper
            .passes(self.attempt, self.conditions, self.account)
    }
}

impl<R: Real> Stepper<R> {
    /// As [`Stepper::passes`], with the instructions chosen.
    pub(super) fn attempt(
        &mut self,
        attempt: Attempt<R>,
        conditions: &Conditions<R>,
        account: &mut Account<R>,
    ) -> R {
        let instructions = self.instructions;
        let passes = Passes {
            stepper: self,
            attempt,
            conditions,
            account,
        };
        // A single number gains nothing from wide instructions.
        if R::lanes() == 1 {
            passes.call()
        } else {
            instructions.0.dispatch(passes)
        }
    }
}
