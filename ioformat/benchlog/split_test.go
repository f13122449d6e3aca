package benchlog

import (
	"slices"
	"strings"
	"testing"
)

func TestWords(t *testing.T) {
	for text, want := range map[string][]string{
		"":                               nil,
		"bare":                           nil,
		" Bare ":                         nil,
		"added=3.3pF,core=rod":           {"added=3.3pF", "core=rod"},
		"added=lantern roof,  hand=20cm": {"added=lantern roof", "hand=20cm"},
		"core=long rod covered=20..60%":  {"core=long rod", "covered=20..60%"},
		"roof":                           {"roof"},
		"bare core=rod":                  {"core=rod"},
	} {
		if got := Words(text); !slices.Equal(got, want) {
			t.Errorf("%q: words %q, want %q", text, got, want)
		}
	}
}

// TestCommasInNumbers: a comma inside a frequency is noticed in every unit, in all
// rows or in some, and whole frequencies are not taken for that.
func TestCommasInNumbers(t *testing.T) {
	for _, log := range []string{
		// between thousands, in all rows and in some
		"frequency [kHz],added [pF],note\n1,523,4.7\n",
		"frequency [kHz],added [pF],note\n2,519,\n1,937,2.2\n1,613,4.7\n1,230,10\n",
		"frequency [kHz],added [pF],note\n2,519,\n1,937,2.2\n1,613,4.7\n888,22,\n874,22,\n",
		"frequency [kHz],added [pF],note\n2519,,\n1,523,4.7\n1230,10,\n",
		"frequency [kHz],added [pF],note\n2519,,\n1,523,\n1230,10,\n888,22,\n",
		"frequency [Hz],added [pF],note\n888123,22,\n632411,22,\n1,523,400\n873911,22,\n",
		"f (Hz),note\n2,519\n1,937\n",
		// decimal
		"frequency [MHz],added [pF],note\n1,523,\n1,401,4.7\n",
		"frequency [MHz],added [pF],note\n2.519,,\n1,937,2.2\n1.613,4.7,\n1.230,10,\n",
		"frequency [GHz],added [pF]\n1,523\n1,401\n",
		"frequency [kHz],added [pF],note\n2519,0,\n1937,2,2.2\n1613,4,4.7\n1230,1,10.0\n",
		"frequency [kHz],added [pF],hand [cm]\n2519,3,\n1937,0,2\n1613,9,4\n1230,8,10\n1059,1,10\n888,2,10\n",
		"frequency [kHz],note\n2519.3,\n1937.2,\n1613,9\n1230,8\n1059,1\n888,2\n",
		// in the cell before it
		"added [pF],frequency [kHz],note\n,2519,\n2,2,1937\n,2519,\n4,7,1613\n",
	} {
		if l, err := Read(strings.NewReader(log), "log.csv", Options{}); err == nil || !strings.Contains(err.Error(), "comma") {
			t.Errorf("%q is read: %v", log, l)
		}
	}
	for _, log := range []string{
		"frequency [kHz],added [pF],note\n888,22,\n1059,10,\n1230,4,\n",
		"frequency [kHz],added [pF]\n120,100\n95,220\n80,470\n",
		"frequency [kHz],added [pF]\n120,\n95,220\n80,470\n60,1000\n",
		"frequency [kHz],added [pF],note\n1523.4,,1\n888,10,2\n702.1,22,3\n",
		"frequency [kHz],added [pF]\n1523.4,\n888,5\n702.1,22\n",
		"frequency [MHz],added [pF]\n2.519,\n2,1\n1.401,4.7\n1.2,10\n",
		"frequency [MHz],added [pF]\n2.5,\n2,1\n1.4,5\n1.2,7\n1,9\n",
		"frequency [MHz],hand [cm]\n14.211,\n14,20\n13.902,10\n13.1,5\n",
		"frequency [kHz],added [pF],core\n2519,1,\n2100,2,\n1900,3,\n1750,4,\n1630,5,\n900,5,rod\n",
		"frequency [Hz],added [pF]\n35120,100\n31200,150\n28111,220\n",
		"frequency [MHz],\n1.5\n",
		"frequency [kHz],run\n120,1\n119,2\n120,3\n118,4\n",
		"frequency [kHz],frequency ± [Hz],added [pF]\n888,300,22\n1059,200,10\n",
	} {
		mustRead(t, []byte(log), Options{})
	}
}
