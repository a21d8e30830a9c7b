"""Bias and accuracy of predictions, by hand."""

from __future__ import annotations

import pytest

from lidclock.kinetics.validation import fit_of


def test_errors_of_opposite_sign_cancel_in_bias_and_add_in_accuracy():
    fit = fit_of([10, 10], [20, 5])

    assert (fit.count, fit.bias, fit.accuracy) == (2, 1, pytest.approx(2))


@pytest.mark.parametrize(("seen", "told"), [([], []), ([1], [1, 2]), ([1], [0])])
def test_what_has_no_logarithm_is_refused(seen, told):
    with pytest.raises(ValueError, match=r"need|above 0"):
        fit_of(seen, told)
