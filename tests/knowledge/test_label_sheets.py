"""Label sheets fit on their paper."""

import yaml

from examkit.chemistry.knowledge.load import SHARED

SHEETS = yaml.safe_load((SHARED / "labels.yaml").read_text())["sheets"]
PAPERS_MM = {"A4": (210, 297), "Letter": (215.9, 279.4)}  # ISO 216; ANSI A, 8.5 x 11 inch


def test_every_sheet_has_the_size_of_an_ordinary_paper():
    for key, sheet in SHEETS.items():
        assert (sheet["width_mm"], sheet["height_mm"]) == PAPERS_MM[sheet["paper"]], key


def test_no_label_goes_past_the_edge_of_the_paper():
    for key, sheet in SHEETS.items():
        across = sheet["columns"] * (sheet["label_width_mm"] + sheet["gap_x_mm"]) - sheet["gap_x_mm"]
        down = sheet["rows"] * (sheet["label_height_mm"] + sheet["gap_y_mm"]) - sheet["gap_y_mm"]

        assert sheet["margin_left_mm"] + across <= sheet["width_mm"] + 1e-9, key
        assert sheet["margin_top_mm"] + down <= sheet["height_mm"] + 1e-9, key


def test_every_sheet_leaves_room_to_print_on_its_labels():
    for key, sheet in SHEETS.items():
        assert min(sheet["label_width_mm"], sheet["label_height_mm"]) > 4 * sheet["inset_mm"], key
