"""Labels of bags: printed, read by a library that did not make them, and scanned again.

The codes are made by the app and read back by ZXing-C++, a reader of its own.
"""

import base64
import io
from dataclasses import dataclass

import pypdfium2  # type: ignore[import-untyped]  # It carries no types.
import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import expect

from tests.browser.api import Api
from tests.browser.conftest import Hold
from tests.browser.handset import Handset

DOTS_PER_INCH = 300  # What home printers do at least.
# Where the first of 21 labels lies on the sheet [px].
FIRST_LABEL = (85, 179, 836, 629)
# A camera that always looks at one picture, as somebody's hand holds it over a label.
CAMERA = """(picture) => {
  navigator.mediaDevices.getUserMedia = async () => {
    const image = new Image();
    image.src = picture;
    await image.decode();
    const canvas = document.createElement('canvas');
    [canvas.width, canvas.height] = [960, 1280];
    const draw = () => {
      const context = canvas.getContext('2d');
      context.fillStyle = '#888';
      context.fillRect(0, 0, 960, 1280);
      context.drawImage(image, 100, 400, 700, (700 * image.height) / image.width);
    };
    setInterval(draw, 100);
    draw();
    return canvas.captureStream(10);
  };
}"""


@dataclass(frozen=True)
class Bags:
    """Six bags of one batch in the freezer."""

    rid: str
    path: str


@pytest.fixture
def bags(ines: Api) -> Bags:
    batch = ines.make("batch", number=41, method="ground", stage="done")
    rid = ines.make(
        "bag",
        batch=batch,
        mass_g=620,
        count=6,
        place="freezer",
        packed_at="2026-11-25T10:00:00Z",
        use_by="2027-02-25",
    )
    return Bags(rid=rid, path=f"/stores/{rid}")


def printed(handset: Handset) -> list[Image.Image]:
    """The sheets as they come out of the printer."""
    expect(handset.page.locator(".paper .label svg path").last).to_be_attached()
    paper = pypdfium2.PdfDocument(handset.page.pdf(prefer_css_page_size=True))
    return [sheet.render(scale=DOTS_PER_INCH / 72).to_pil() for sheet in paper]


def read(picture: Image.Image) -> list[str]:
    return [each.text for each in zxingcpp.read_barcodes(picture)]


def png(picture: Image.Image) -> bytes:
    file = io.BytesIO()
    picture.save(file, "PNG")
    return file.getvalue()


def test_a_sheet_of_labels_is_printed_offline_and_each_code_opens_its_bags(
    ines: Api, hold: Hold, bags: Bags
) -> None:
    handset = hold(ines, bags.path)
    handset.cut_network()
    handset.tap("Labels")
    handset.sees_title("Labels")
    # The tests' server is asked as localhost: to a camera's phone that would be the phone.
    handset.sees("A camera cannot open the codes of labels printed here")
    expect(handset.button("Print 6 labels")).to_be_visible()
    (sheet,) = printed(handset)
    codes = read(sheet)
    assert codes == [ines.url + bags.path] * 6
    words = handset.page.locator(".paper .label").first.text_content() or ""
    for part in ("Batch 41, ground", "620 g", "25 Nov 2026", "Use by 25 Feb 2027", "Raw: keep"):
        assert part in words
    # What a camera reads is an address, and the app opens there without the network too.
    handset.open(codes[0].removeprefix(ines.url))
    handset.sees_title("Batch 41, ground")


@pytest.mark.parametrize(
    ("sheet", "paper_mm", "used", "pages"),
    [
        ("a4-21", (210, 297), 0, 1),
        ("a4-8", (210, 297), 4, 2),
        ("letter-30", (215.9, 279.4), 24, 1),
        ("letter-6", (215.9, 279.4), 1, 2),
    ],
)
def test_labels_lie_on_the_paper_that_was_chosen(
    ines: Api,
    hold: Hold,
    bags: Bags,
    sheet: str,
    paper_mm: tuple[float, float],
    used: int,
    pages: int,
) -> None:
    handset = hold(ines, f"/stores/labels?of={bags.rid}")
    handset.labelled("Sheet of labels").select_option(value=sheet)
    handset.page.get_by_label("Labels already used").first.fill(str(used))
    expect(handset.button("Print 6 labels")).to_be_visible()
    sheets = printed(handset)
    assert len(sheets) == pages
    assert [code for each in sheets for code in read(each)] == [ines.url + bags.path] * 6
    for each in sheets:
        for side, wanted_mm in zip(each.size, paper_mm, strict=True):
            assert side * 25.4 / DOTS_PER_INCH == pytest.approx(wanted_mm, abs=0.5)


def test_a_photo_of_a_label_opens_the_bags_where_no_camera_does(
    ines: Api, hold: Hold, bags: Bags
) -> None:
    handset = hold(ines, f"/stores/labels?of={bags.rid}")
    picture = png(printed(handset)[0].crop(FIRST_LABEL))
    handset.cut_network()
    handset.open("/stores/scan")
    handset.sees("The camera does not open")
    photo = handset.page.get_by_label("Photo of a label")
    jam = Image.new("RGB", (400, 400), "white")
    nothing = io.BytesIO()
    jam.save(nothing, "PNG")
    photo.set_input_files(
        {"name": "jam.png", "mimeType": "image/png", "buffer": nothing.getvalue()}
    )
    handset.sees("No code was found in the photo")
    photo.set_input_files({"name": "label.png", "mimeType": "image/png", "buffer": picture})
    handset.sees_title("Batch 41, ground")


def test_the_camera_opens_the_bags_to_move_and_to_throw_away(
    ines: Api, hold: Hold, bags: Bags
) -> None:
    handset = hold(ines, f"/stores/labels?of={bags.rid}")
    picture = png(printed(handset)[0].crop(FIRST_LABEL))
    handset.reopen("/stores")
    handset.sees_title("Stores")
    source = "data:image/png;base64," + base64.b64encode(picture).decode()
    handset.page.evaluate(CAMERA, source)
    handset.tap("Scan a label")
    handset.sees_title("Batch 41, ground")
    handset.tap("Take out")
    handset.choose("What becomes of it", "To thaw")
    handset.tap("Move to the fridge: 620 g")
    handset.sheet_closes()
    handset.tap("Take out")
    handset.choose("What becomes of it", "Thrown away")
    handset.tap("Throw away 620 g")
    handset.sheet_closes()
    handset.sees("3.1 kg")
    handset.meet_server()
    moved = {row["values"]["what"]: row["values"]["mass_g"] for row in ines.rows("movement")}
    assert moved == {"thawed": 620, "discarded": 620}
