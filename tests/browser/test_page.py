"""The page for the phone in a real browser: a whole job, without connection, printed, by keyboard, by two."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from helpers_browser import Watched, browsing, looking
from helpers_serve import Served, ask, opened, serving
from helpers_shipped import shipped_book
from proveout.record import casefile

#: What can be wrong with the car of these tests: something to be proven, and something plain to see.
VALVE, SEAL = "purge-valve-stuck-open", "filler-cap-seal-leaking"
#: Waits until the page at hand was kept for when there is no connection; false where that takes 30 s.
KEPT = """async () => {
  for (let n = 0; n < 1500; n++) {
    if (await caches.match(location.href, { ignoreVary: true })) return true;
    await new Promise((done) => setTimeout(done, 20));
  }
  return false;
}"""


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with serving(tmp_path_factory.mktemp("serve")) as found:
        yield found


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with browsing() as found:
        yield found


def kinds(served: Served, name: str) -> list[str]:
    return [event.kind for event in casefile.read(served.cases / name) if event.kind != "advice"]


def truth(inspection: str, cause: str) -> str:
    """Return what an inspection of a car shows: its fault, and all else sound."""
    entry = shipped_book().inspections[inspection]
    if cause in entry.proves:
        return next(iter(entry.proves[cause]))
    return next(result.id for result in entry.results if result.normal)


def intake(look: Watched, vehicle: str) -> str:
    """Open a case by search, and return its name."""
    page = look.page
    page.get_by_role("link", name="Open a new case").click()
    page.get_by_label("Code, or words").type("P044")
    page.get_by_role("button", name="P0442").click()
    page.get_by_label("Code, or words").type("no smell of fuel")
    page.get_by_role("button", name="Not there: ").first.click()
    page.get_by_label("What you call it").fill(vehicle)
    page.get_by_label("Age in years, or first year").fill("14")
    page.get_by_text("Tools at hand").first.click()
    page.get_by_label("Hand vacuum pump with gauge").check()
    look.check("intake")
    page.get_by_role("button", name="Open the case").click()
    page.wait_for_url("**/case/*")
    assert page.get_by_role("heading", level=1).inner_text() == vehicle
    return str(page.url).rsplit("/", 1)[1]


def inspect(look: Watched, cause: str, checked: bool = False) -> None:
    """Do the inspection that is proposed."""
    page = look.page
    page.get_by_role("link", name="Show me how").click()
    page.wait_for_url("**/do/*")
    assert not page.get_by_role("button", name="Record it").is_visible()  # cautions first
    if checked:
        look.check("cautions")
    page.get_by_role("button", name="I have read this").click()
    assert page.evaluate("document.activeElement.id") == "steps"
    word = truth(page.url.rsplit("/", 1)[1].partition("?")[0], cause)
    page.locator(f"input[name=result][value={word}]").check()
    for box in page.locator(".steps input").all():
        box.check()
    if checked:
        look.check("inspection")
    page.get_by_role("button", name="Record it").click()
    page.wait_for_url(lambda url: "/do/" not in url)
    assert page.get_by_role("heading", name="What changed").is_visible()


def test_what_is_typed_before_the_script_is_there_is_searched(served: Served, browser: Any) -> None:
    with looking(browser, served.origin) as look:
        page = look.page
        page.goto(served.address)
        page.wait_for_url(f"{served.origin}/")
        page.add_init_script("""document.addEventListener("readystatechange", () => {
          const field = document.querySelector("input[type=search]");
          if (document.readyState === "interactive" && field) field.value = "P044";  // deferred is later
        });""")
        page.get_by_role("link", name="Open a new case").click()
        page.get_by_role("button", name="P0442").click()
        assert page.get_by_label("Code, or words").input_value() == ""


@pytest.mark.long(15)
@pytest.mark.parametrize("width", [360, 1280])
def test_from_the_complaint_to_the_confirmed_repair(served: Served, browser: Any, width: int) -> None:
    with looking(browser, served.origin, width) as look:
        page = look.page
        page.goto(served.address)
        page.wait_for_url(f"{served.origin}/")
        name = intake(look, f"grey hatchback {width}")
        look.check("case")
        inspect(look, VALVE, checked=True)
        look.check("changed")
        while page.get_by_role("link", name="Show me how").is_visible():
            inspect(look, VALVE)
        assert page.get_by_role("heading", name="What mends it").is_visible()
        page.get_by_role("link", name="Why", exact=True).click()
        look.check("why")
        page.go_back()
        look.check("mend")
        page.get_by_label("What the part cost").fill("12,50")
        page.get_by_role("button", name="It was bought").click()
        page.get_by_label("Minutes it took").fill("15")
        page.get_by_role("button", name="It is mended").click()
        page.get_by_role("heading", name="Did the repair hold").wait_for()
        look.check("verify")
        for group in page.get_by_role("group", name="Done again").all():
            group.get_by_role("radio").first.check()
        page.get_by_label("The codes were cleared after the repair").check()
        page.get_by_label("Driven since the codes were cleared").fill("80")
        page.get_by_label("Looked, and none is stored").check()
        page.get_by_text("Readiness monitors that have completed since").click()
        page.get_by_label("evap", exact=True).check()
        page.get_by_role("button", name="Record this").click()
        page.get_by_role("heading", name="The repair is confirmed").wait_for()
        look.check("confirm")
        page.get_by_role("button", name="Close the case").click()
        page.get_by_role("heading", name="Closed as confirmed").wait_for()
        look.check("closed")
        page.get_by_role("link", name="Cases").click()
        look.check("cases")
    done = kinds(served, name)
    assert done[-4:] == ["purchase", "repair", "verification", "close"]
    events = casefile.read(served.cases / name)
    assert [event.body["cause"] for event in events if event.kind == "repair"] == [VALVE]
    assert events[-1].body["outcome"] == "confirmed"


def test_a_plain_defect_is_put_right_and_watched(served: Served, browser: Any) -> None:
    name = opened(served, "watchwatchwatch", ("vehicle", "yellow hatchback"), ("replaced", "purge-valve"))
    with looking(browser, served.origin) as look:
        page = look.page
        page.goto(served.address)
        page.wait_for_url(f"{served.origin}/")
        page.goto(f"{served.origin}/case/{name}")
        while page.get_by_role("link", name="Show me how").is_visible():
            inspect(look, SEAL)
        page.get_by_role("heading", name="What puts it right").wait_for()
        look.check("put-right")
        page.get_by_role("button", name="It is put right").click()
        look.check("watch")
        page.get_by_role("button", name="It stayed away").click()
        page.get_by_role("button", name="Close the case").click()
        page.get_by_role("heading", name="Closed as nothing wrong").wait_for()
        assert look.wrong == []
    assert kinds(served, name)[-3:] == ["mending", "watch", "close"]


@pytest.mark.parametrize("width", [360, 1280])
def test_the_lesser_pages(served: Served, browser: Any, width: int) -> None:
    """Those that the whole job does not pass by; what a browser says of a refused request is not ours."""
    name = opened(served, f"lesserpages{width:05}", ("vehicle", "brown van"), ("symptoms", "fuel-smell"))
    with looking(browser, served.origin, width) as look:
        page = look.page
        page.goto(served.address)
        page.wait_for_url(f"{served.origin}/")
        for path, shown in (
            ("terms", "terms"),
            (f"case/{name}/add", "add"),
            (f"case/{name}/report", "report"),
            (f"case/{name}/why?cause=fuel-cap-loose", "why-first"),
            (f"case/{name}/do/coolant-sensor-curve?read=yes", "series"),
            (f"case/{name}/sheet", "job-sheet"),
            ("nothing/here", "missing"),
            ("?words=zzzz", "nothing-found"),
        ):
            page.goto(f"{served.origin}/{path}")
            if shown in ("job-sheet", "missing"):
                look.wrong.clear()
            look.check(shown) if shown != "job-sheet" else look.shot(shown)


def test_a_case_with_nothing_to_go_on_asks_for_more(served: Served, browser: Any) -> None:
    fields = [("mark", "nothingnothing"), ("vehicle", "dull coupe"), ("said", "it hums at full moon")]
    name = ask(served, "/new", fields).headers["location"].removeprefix("/case/")
    with looking(browser, served.origin) as look:
        look.page.goto(served.address)
        look.page.wait_for_url(f"{served.origin}/")
        look.page.goto(f"{served.origin}/case/{name}")
        assert look.page.get_by_role("heading", name="Nothing to go on yet").is_visible()
        look.check("blank")
        look.page.get_by_role("link", name="Add a code or what you notice").click()
        look.page.get_by_role("heading", name="Add what turned up").wait_for()


def at_reading(look: Watched, served: Served, name: str) -> None:
    """Go to what is asked after the cautions of an inspection with a reading."""
    look.page.goto(served.address)
    look.page.wait_for_url(f"{served.origin}/")
    look.page.goto(f"{served.origin}/case/{name}/do/purge-valve-holds-vacuum")
    look.page.get_by_role("button", name="I have read this").click()


def test_a_reading_entered_offline_waits_and_is_sent_once(served: Served, browser: Any) -> None:
    name = opened(served, "offlineoffline", ("vehicle", "blue estate"), ("tools", "hand-vacuum-pump"))
    with looking(browser, served.origin) as look:
        page = look.page
        at_reading(look, served, name)
        page.context.set_offline(True)
        page.get_by_label("Pressure").fill("-60")
        page.get_by_role("button", name="Record it").click()
        page.get_by_text("1 reading waits on this device").wait_for()
        look.shot("offline")
        assert kinds(served, name) == ["intake"]
        page.context.set_offline(False)
        page.wait_for_url(f"**/case/{name}")
        assert page.get_by_text("-60 kPa").first.is_visible()
        assert page.locator("#waiting").inner_text() == ""
    assert kinds(served, name) == ["intake", "reading"]


def test_a_reading_of_which_the_answer_was_lost_is_kept_once(served: Served, browser: Any) -> None:
    name = opened(served, "lostanswerlost", ("vehicle", "white van"), ("tools", "hand-vacuum-pump"))
    lost: list[int] = []
    with looking(browser, served.origin) as look:
        page = look.page
        at_reading(look, served, name)

        def lose(route: Any) -> None:
            if lost:
                route.continue_()
                return
            lost.append(route.fetch().status)  # it arrives, and the answer does not
            route.abort("connectionreset")

        page.route("**/reading", lose)
        page.get_by_label("Pressure").fill("-12 kPa")
        page.get_by_role("button", name="Record it").click()
        page.get_by_text("1 reading waits on this device").wait_for()
        assert kinds(served, name) == ["intake", "reading"]
        page.wait_for_url(f"**/case/{name}")
    assert lost == [200]
    assert kinds(served, name) == ["intake", "reading"]


def test_a_reading_that_cannot_be_used_is_said_and_can_be_mended(served: Served, browser: Any) -> None:
    name = opened(served, "badreadingbad", ("vehicle", "old pickup"), ("tools", "hand-vacuum-pump"))
    with looking(browser, served.origin) as look:
        page = look.page
        at_reading(look, served, name)
        page.get_by_label("Pressure").fill("12 bananas")
        page.get_by_role("button", name="Record it").click()
        alert = page.get_by_role("alert")
        alert.wait_for()
        assert "banana" in alert.inner_text()
        look.wrong.clear()  # a refusal stands in the console as a failed request
        look.check("refused")
        page.get_by_label("Pressure").fill("-15 inHg")
        page.get_by_role("button", name="Record it").click()
        page.wait_for_url(f"**/case/{name}")
    assert kinds(served, name) == ["intake", "reading"]


def test_it_can_be_installed_and_shows_what_was_looked_at_without_connection(
    served: Served, browser: Any
) -> None:
    name = opened(served, "installinstall", ("vehicle", "red coupe"))
    with looking(browser, served.origin) as look:
        page = look.page
        page.goto(served.address)
        page.wait_for_url(f"{served.origin}/")
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        manifest = page.evaluate("fetch('/manifest.webmanifest').then((answer) => answer.json())")
        assert manifest["display"] == "standalone" and manifest["start_url"] == "/"
        page.goto(f"{served.origin}/case/{name}")
        page.get_by_role("heading", name="red coupe").wait_for()
        assert page.evaluate(KEPT), "the page was not kept"
        page.context.set_offline(True)
        page.reload()
        assert page.get_by_role("heading", name="red coupe").is_visible()
        page.goto(f"{served.origin}/case/{name}/why")
        assert page.get_by_role("heading", name="No connection").is_visible()


def test_the_report_prints(served: Served, browser: Any) -> None:
    name = opened(served, "printprintprint", ("vehicle", "silver wagon"))
    with looking(browser, served.origin) as look:
        page = look.page
        page.goto(served.address)
        page.wait_for_url(f"{served.origin}/")
        for reader in ("customer", "assessor"):
            page.goto(f"{served.origin}/case/{name}/report?for={reader}")
            assert "silver wagon" in page.content()
            look.shot(f"report-{reader}")
            pages = [page.pdf(format=form).count(b"/Type /Page\n") for form in ("A4", "Letter")]
            assert all(count == 1 if reader == "customer" else count > 1 for count in pages), pages
        # the one style sheet is taken, though no other would be
        assert page.evaluate("getComputedStyle(document.body).maxWidth") != "none"
        assert look.wrong == []


def test_by_keyboard_alone(served: Served, browser: Any) -> None:
    with looking(browser, served.origin) as look:
        page = look.page
        page.goto(served.address)
        page.wait_for_url(f"{served.origin}/")
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.className") == "skip"
        page.goto(f"{served.origin}/new")
        page.get_by_label("Code, or words").focus()
        page.keyboard.type("P0442")
        page.get_by_role("button", name="P0442").wait_for()
        page.keyboard.press("ArrowDown")
        page.keyboard.press("Enter")
        assert page.locator(".picked input[name=codes]").input_value() == "P0442"
        assert page.evaluate("document.activeElement.id") == "complaint"
        page.keyboard.type("rough idle")
        page.get_by_role("button", name="Uneven idle").first.wait_for()
        page.keyboard.press("Enter")
        assert page.locator(".picked input").count() == 2
        assert page.get_by_role("status").filter(has_text="Chosen").count() == 1
        assert look.wrong == []


def test_two_people_lose_nothing(served: Served, browser: Any) -> None:
    name = opened(served, "twopeopletwo", ("vehicle", "green saloon"), ("tools", "hand-vacuum-pump"))
    with looking(browser, served.origin) as one, looking(browser, served.origin) as other:
        for look in (one, other):
            at_reading(look, served, name)
        one.page.get_by_label("Pressure").fill("-60")
        other.page.get_by_label("Pressure").fill("-60")
        for look in (one, other):  # the same figure from the same page, and yet two readings
            look.page.get_by_role("button", name="Record it").click()
            look.page.wait_for_url(f"**/case/{name}")
        one.page.get_by_role("button", name="Take this back").click()  # of a page that is old by now
        assert one.page.get_by_role("heading", name="gone on meanwhile").is_visible()
    assert kinds(served, name) == ["intake", "reading", "reading"]


def test_the_address_without_its_token_shows_nothing(served: Served, browser: Any) -> None:
    with looking(browser, served.origin) as look:
        answer = look.page.goto(f"{served.origin}/")
        assert answer.status == 401
        assert "hatchback" not in look.page.content()
