"""A code stands as it is on the lid, also where the page runs from right to left."""

import pytest

# How far from the left each character of the first code on a page stands.
_PLACES = """() => {
    const text = document.querySelector("a[href^='/c/'] b").firstChild
    return [...text.data].map((one, index) => {
        const range = document.createRange()
        range.setStart(text, index)
        range.setEnd(text, index + 1)
        return [one, range.getBoundingClientRect().left]
    })
}"""


@pytest.mark.parametrize("path", ["/labels?code={}", "/alerts"])
def test_a_code_runs_from_left_to_right_in_arabic(browser, house, path):
    """Figures alone before the gap are what Unicode's algorithm would put last."""
    for number in range(2000):
        (code,) = house.prep(f"soup {number}", days_ago=9)
        if code[:3].isdecimal() and not code[3:].isdecimal():
            break
    context = browser.new_context(base_url=house.address, locale="ar")
    page = context.new_page()
    page.goto(path.format(code))
    shown = page.locator(f"a[href='/c/{code}'] b").first.inner_text()
    places = page.evaluate(_PLACES.replace("/c/", f"/c/{code}"))
    context.close()

    assert shown == f"{code[:3]} {code[3:]}"
    assert [left for _, left in places] == sorted(left for _, left in places)
