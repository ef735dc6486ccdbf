"""What of the page is shown before the rest of it has come."""

from collections.abc import Callable

from playwright.sync_api import Page, Route, expect

OpenPage = Callable[..., Page]


def test_each_part_of_the_page_is_shown_as_it_comes(open_page: OpenPage) -> None:
    """The verdict waits for no shape, the picture and the findings for no form."""
    shapes: list[Route] = []
    forms: list[Route] = []

    def hold_shape(route: Route) -> None:
        shapes.append(route)

    def hold_form(route: Route) -> None:
        forms.append(route)

    def hold(page: Page) -> None:
        page.route("**/api/mesh", hold_shape)
        page.route("**/api/sheet", hold_form)

    page = open_page(prepare=hold, whole=False)
    expect(page.get_by_text("The shape is on its way")).to_be_visible()
    picture = page.locator(".frame .words .balance")
    findings = page.get_by_role("region", name="Findings, worst first")
    expect(picture).to_have_count(0)
    shapes.pop().continue_()
    expect(picture).to_be_visible()
    expect(findings).to_be_visible()
    numbers = page.get_by_role("heading", name="The numbers")
    expect(numbers).to_have_count(0)
    forms.pop().continue_()
    expect(numbers).to_be_visible()
    expect(page.get_by_role("region", name="Long jobs")).to_be_visible()


def test_a_shape_that_does_not_come_takes_no_verdict_with_it(open_page: OpenPage, faults: list[str]) -> None:
    def refuse(page: Page) -> None:
        def abort(route: Route) -> None:
            route.abort()

        page.route("**/api/mesh", abort)

    page = open_page(prepare=refuse)
    expect(page.get_by_text("The shape did not come")).to_be_visible()
    expect(page.get_by_role("region", name="Findings, worst first")).to_be_visible()
    expect(page.get_by_role("region", name="Long jobs")).to_be_visible()
    assert [fault for fault in faults if "ERR_FAILED" not in fault] == []
    faults.clear()


def test_the_small_pictures_follow_the_units(open_page: OpenPage) -> None:
    page = open_page()
    part = page.get_by_role("region", name="Why it is so")
    late = part.get_by_role("slider", name="Seconds past the top")
    late.press("ArrowRight")
    expect(part.get_by_text("1.5 s late: 15 m/s")).to_be_visible()
    # The bar that is marked is that of the words: the fourth of those from 0 on, half a second apart.
    expect(part.locator("rect.now")).to_have_count(1)
    expect(part.locator("rect:has(~ rect.now)")).to_have_count(3)
    late.press("ArrowRight")
    expect(part.get_by_text("2 s late: 20 m/s, 192 J for each kilogram")).to_be_visible()
    page.get_by_role("button", name="Show US units").click()
    expect(part.get_by_text("2 s late: 64 ft/s, 64 ft lbf for each pound")).to_be_visible()
    expect(part.get_by_text("56 lbf:")).to_be_visible()


def test_the_answer_is_asked_for_once_and_before_the_script_is_read(open_page: OpenPage) -> None:
    page = open_page()
    asked = page.evaluate(
        "performance.getEntriesByType('resource').filter((one) => one.name.endsWith('/api/vehicle'))"
        ".map((one) => one.initiatorType)"
    )
    assert asked == ["link"]
