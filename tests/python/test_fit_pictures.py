"""Pictures of fits, predictions, comparisons and differences."""

import pytest
from matplotlib.figure import Figure

import airchain
from airchain import InputError
from fitted import both, pull


def test_pictures_show_what_they_name() -> None:
    prediction = airchain.predict(both(), "full", [4000.0, 5500.0, 7000.0])
    comparison = prediction.compare(pull("full", 2))
    for shown in (prediction, comparison):
        labels = [axes.get_ylabel() for axes in shown.plot().axes]
        assert labels == ["Power [hp]", "Torque [lb ft]", "Boost [psi]"]
    labels = [text.get_text() for text in comparison.plot().axes[0].get_legend().get_texts()]
    assert labels == ["90 % band of a row", "predicted", "measured"]
    assert len(both().plot_residuals(system="si").axes) == len(both().channels)
    ticks = [text.get_text() for text in both().plot().axes[0].get_yticklabels()]
    assert ticks == [unknown.words for unknown in both().unknowns]


def test_a_difference_is_drawn_as_factors_and_as_budget() -> None:
    split = airchain.explain(0, 1, rpm=6000.0, fit=both())
    assert len(split.plot().axes[0].patches) == len(split.shares) + 3
    assert len(split.plot_budget().axes[0].patches) == len(split.effects) + 3
    torque = airchain.explain(0, 1, rpm=6000.0, column="torque", fit=both())
    assert len(split.plot(beside=[torque]).axes) == 2
    with pytest.raises(InputError, match="column = torque; must be power"):
        torque.plot_budget()


def test_pictures_are_drawn_into_axes_that_are_given() -> None:
    figure = Figure()
    axes = figure.subplots(3)
    prediction = airchain.predict(both(), "full", [4000.0, 5500.0, 7000.0])
    tame = airchain.predict(both(), "tame", [4000.0, 5500.0, 7000.0])
    assert prediction.plot(axes, title="Both", beside=[tame]) is figure
    assert axes[0].get_title() == "Both"
    assert len(axes[0].lines) == 2
    with pytest.raises(InputError, match="axes = 2 axes; must be 3, one a panel"):
        prediction.plot(axes[:2])
