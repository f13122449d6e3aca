package report

import (
	"fmt"

	"fitcoil/ioformat/quantity"
	"fitcoil/model"
)

// leastProviso is the factor on uncertainties from which an answer tells on what they hang: with
// intervals that are too narrow by less, nine of ten still hold.
const leastProviso = 1.2

// Proviso says under which assumption, that no reading can show to be wrong, the uncertainties
// hold; "" where that makes little difference, and where they hold in no case.
func Proviso(r *model.Result) string {
	factor := r.MostIfCommon()
	if factor < leastProviso || undermined(r) {
		return ""
	}
	return fmt.Sprintf("± of inductance and capacitance hold for parts that err each by itself; of one reel or one meter, up to ×\u00a0%s: write common behind their tolerance, else own", quantity.Digits(factor, 2))
}

// proviso writes it below the verdict.
func (t *text) proviso(r *model.Result) {
	if s := Proviso(r); s != "" {
		t.hang("  ", s)
	}
}
