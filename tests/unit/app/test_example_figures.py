"""The pictures beside the documents: small, grey, and of an invented kitchen."""

from PIL import Image

from lidclock.app.example_figures import draw_all


def test_each_kind_of_figure_is_drawn_small_and_grey(tmp_path):
    files = list(draw_all(tmp_path))

    assert [one.name for one in files] == [
        "temperatures-place.png",
        "temperatures-all.png",
        "waste-weeks.png",
    ]
    for path in files:
        assert path.stat().st_size < 120_000
        red, green, blue = Image.open(path).convert("RGB").split()
        assert red.tobytes() == green.tobytes() == blue.tobytes()
