//! Which instructions the work of a step is done with.
//!
//! A build for any processor of a kind may use only what all of them have. Lanes are worth most in
//! the wide instructions of newer ones, so the work on lanes is compiled for both, and the choice is
//! made while the program runs. Only what is inlined into a [`Part`] is compiled for both: every
//! function that it calls is `#[inline(always)]`. Products and sums are never fused, so that the bits
//! are the same either way.

use overwinter_physics::number::Real;
use pulp::{Arch, NullaryFnOnce};

use super::Stepper;
use crate::account::Account;
use crate::balance::{Conditions, Scheme};

/// Which instructions the work of a step is done with.
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

/// A part of the work of a step. Parts are so large that choosing costs nothing, and so small that
/// each is soon compiled.
pub(super) trait Part<R> {
    /// What a part finds out; zero for one that is done for what it changes.
    fn go(self, stepper: &mut Stepper<R>, scheme: Scheme, conditions: &Conditions<R>) -> R;
}

/// See [`Stepper::begin`].
pub(super) struct Begin;
/// See [`Stepper::open`].
pub(super) struct Open;
/// See [`Stepper::cover`].
pub(super) struct Cover(pub(super) usize);
/// See [`Stepper::close`].
pub(super) struct Close;
/// See [`Stepper::over`].
pub(super) struct Check;
/// See [`Stepper::accept`].
pub(super) struct Accept<'a, R>(pub(super) &'a mut Account<R>);

impl<R: Real> Part<R> for Begin {
    #[inline(always)]
    fn go(self, stepper: &mut Stepper<R>, scheme: Scheme, conditions: &Conditions<R>) -> R {
        stepper.begin(scheme, conditions);
        R::zero()
    }
}

impl<R: Real> Part<R> for Open {
    #[inline(always)]
    fn go(self, stepper: &mut Stepper<R>, scheme: Scheme, conditions: &Conditions<R>) -> R {
        stepper.open(scheme, conditions);
        R::zero()
    }
}

impl<R: Real> Part<R> for Cover {
    #[inline(always)]
    fn go(self, stepper: &mut Stepper<R>, scheme: Scheme, conditions: &Conditions<R>) -> R {
        stepper.cover(self.0, scheme, conditions);
        R::zero()
    }
}

impl<R: Real> Part<R> for Close {
    #[inline(always)]
    fn go(self, stepper: &mut Stepper<R>, scheme: Scheme, conditions: &Conditions<R>) -> R {
        stepper.close(scheme, conditions);
        R::zero()
    }
}

impl<R: Real> Part<R> for Check {
    #[inline(always)]
    fn go(self, stepper: &mut Stepper<R>, scheme: Scheme, conditions: &Conditions<R>) -> R {
        stepper.over(scheme.step_s, conditions)
    }
}

impl<R: Real> Part<R> for Accept<'_, R> {
    #[inline(always)]
    fn go(self, stepper: &mut Stepper<R>, scheme: Scheme, conditions: &Conditions<R>) -> R {
        stepper.accept(scheme, conditions, self.0);
        R::zero()
    }
}

struct Work<'a, R, P> {
    part: P,
    stepper: &'a mut Stepper<R>,
    scheme: Scheme,
    conditions: &'a Conditions<R>,
}

impl<R: Real, P: Part<R>> NullaryFnOnce for Work<'_, R, P> {
    type Output = R;

    #[inline(always)]
    fn call(self) -> R {
        self.part.go(self.stepper, self.scheme, self.conditions)
    }
}

impl<R: Real> Stepper<R> {
    /// Does a part of the work with the instructions chosen.
    #[inline(never)]
    pub(super) fn work<P: Part<R>>(
        &mut self,
        part: P,
        scheme: Scheme,
        conditions: &Conditions<R>,
    ) -> R {
        let instructions = self.instructions;
        let work = Work {
            part,
            stepper: self,
            scheme,
            conditions,
        };
        // A single number gains nothing from wide instructions.
        if R::IS_SINGLE {
            work.call()
        } else {
            instructions.0.dispatch(work)
        }
    }
}
