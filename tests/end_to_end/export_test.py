#!/usr/bin/env python3
"""What goes out to be worked on elsewhere: nothing that a spreadsheet would run, and JSON that says the
same as the CSV."""
import csv
import io
import re
import unittest

from programs import EndToEnd

# What spreadsheets take for a formula at the beginning of a cell: common practice, no source. A number
# may begin with its sign.
FORMULA = re.compile(r"^[=+@\t\r]|^-(?!\d)")


class Export(EndToEnd):
    def setUp(self):
        super().setUp()
        self.name = '=HYPERLINK("http:x","@SUM(1+1)*cmd|\'a\'!A0").csv'.replace("/", "")
        source = self.folder / self.name
        source.write_text("time,potential_mv,cell_scale,ac_mv,temperature_c,quality\r\n"
                          "2026-05-04T06:00:00Z,-990.25,agcl/open,12.5,11.25,\r\n"
                          "2026-05-04T06:01:00Z,,agcl/open,,11.25,low-battery\r\n"
                          "2026-05-04T06:02:00Z,3.5,agcl/open,0,-1,\r\n", encoding="ascii", newline="")
        self.archive = self.folder / "a.quaycell"
        self.done("import", source, "--archive", self.archive)
        self.done("note", "--archive", self.archive, "--time", "2026-05-04T06:00:00Z", "=1+cmd|'/c calc'!A0")
        self.done("correct", "--archive", self.archive, "--salinity", "30", "--why", "@SUM(A1)", "--author", "=A1")
        self.arguments = ("export", "--archive", self.archive, "--hull", "steel")

    def test_no_cell_is_a_formula_whatever_names_notes_and_reasons_hold(self):
        cells = [cell for row in csv.reader(io.StringIO(self.done(*self.arguments))) for cell in row]
        self.assertEqual(len(cells), 4 * 8)
        self.assertIn("-990.25", cells)
        for cell in cells:
            self.assertIsNone(FORMULA.match(cell), cell)

    def test_json_says_the_same_as_the_csv(self):
        document = self.document(*self.arguments)
        self.assertIn(self.name, document["name"])
        self.assertEqual(document["cell_scale"], "agcl/open")
        self.assertEqual(document["standard_scale"], "agcl/seawater")
        self.assertTrue(any("@SUM(A1)" in remark for remark in document["remarks"]))
        rows = list(csv.DictReader(io.StringIO(self.done(*self.arguments))))
        self.assertEqual(len(document["readings"]), len(rows))
        for reading, row in zip(document["readings"], rows):
            self.assertEqual(row.pop("cell_scale"), document["cell_scale"])
            self.assertEqual(list(reading), list(row))
            for key, value in reading.items():
                if key in ("time", "quality"):
                    self.assertEqual(value, row[key])
                else:
                    self.assertEqual(value, float(row[key]) if row[key] else None, key)

    def test_a_trace_of_nothing_is_a_document_too(self):
        empty = self.folder / "empty.csv"
        empty.write_text("time,potential_mv,cell_scale\r\n", encoding="ascii", newline="")
        self.assertEqual(self.document("export", "--trace", empty)["readings"], [])


if __name__ == "__main__":
    unittest.main()
