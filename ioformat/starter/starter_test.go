package starter

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/coilsheet"
)

// With its example rows below the header, the log reads as it says.
func TestLogCanBeFilledIn(t *testing.T) {
	rows := regexp.MustCompile(`(?m)^#   (\d.*)$`).FindAllSubmatch(Log, -1)
	if len(rows) != 3 {
		t.Fatalf("%d rows as examples", len(rows))
	}
	filled := bytes.Clone(Log)
	for _, r := range rows {
		filled = append(append(filled, r[1]...), '\n')
	}
	log, err := benchlog.Read(bytes.NewReader(filled), "log.csv", benchlog.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(log.Readings) != 3 || len(log.Warnings) > 0 {
		t.Errorf("%d readings, %q", len(log.Readings), log.Warnings)
	}
	if r := log.Readings[2]; r.Core != "rod" || r.Frequency != 1.146e6 || r.Uncertainty != 800 || len(r.Parts) != 1 {
		t.Errorf("%+v", r)
	}
}

// Without the # before its rows, the sheet describes a coil that can be computed.
func TestSheetCanBeFilledIn(t *testing.T) {
	head, rows, _ := strings.Cut(string(Sheet), "\nquantity,")
	sheet, err := coilsheet.Read(strings.NewReader(head+"\nquantity,"+strings.ReplaceAll(rows, "\n# ", "\n")), "sheet.csv")
	if err != nil {
		t.Fatal(err)
	}
	if !sheet.CanPredict() || len(sheet.Meter) != 1 || len(sheet.Parts) != 1 || len(sheet.Notices) > 0 {
		t.Errorf("%+v", sheet)
	}
}
