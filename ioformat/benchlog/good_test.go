package benchlog

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// goodLogs are logs (invented) as makers of many kinds of coils write them, with
// nothing wrong in any. Warnings about columns taken or left out are expected of
// some: the word in front of the bar.
func goodLogs() []string {
	return []string{
		"|frequency [MHz],added [pF],core\n2.519,,\n1.613,4.7,\n1.785,,rod\n",
		"|frequency [kHz],added [pF],core\n2519,,\n1613,4.7,\n1785,,rod\n",
		"|frequency [Hz],frequency ± [Hz],added [pF]\n2519012,400,\n1613433,380,4.7\n",
		"|frequency (kHz),added (nF),note\n120.4,,\n88.2,0.1,\n70.1,0.22,silver mica\n",
		"|f/kHz,added/pF\n889,22\n1059,10\n1231,4.7\n1613,\n",
		"|Frequency [MHz],Added,Core\n14.21,,\n12.02,10 pF,\n9.87,22pF,\n11.5,,dust core\n",
		"|frequency,added,hand\n1.52 MHz,,\n1.41 MHz,4.7 pF,\n1.5 MHz,,10 cm\n",
		"|frequency [MHz];added [pF];hand [cm]\n2,519;;\n1,613;4,7;\n2,485;;10\n",
		"|frequency [MHz]\tadded [pF]\tcore\n2.519\t\t\n1.613\t4.7\t\n1.785\t\trod\n",
		"|# 3 May, cellar, dry\n# probe 1 m away\nfrequency [MHz],added [pF]\n2.519,\n# after lunch\n1.613,4.7\n",
		"|# 3 May 2026,,\n# probe,1 m away,\nfrequency [MHz],added [pF],note\n2.519,,\n# lunch,,\n1.613,4.7,\n",
		"|frequency [MHz],added [pF],core,covered [%]\n2.519,,,\n1.785,,rod,100\n1.965,,rod,47\n2.31,,rod,20..60\n",
		"|frequency [MHz],hand [mm]\n2.485,100\n2.507,200\n2.515,400\n2.519,\n",
		"|frequency [MHz],hand [in]\n2.485,4\n2.507,8\n2.519,\n",
		"|frequency [MHz],core\n2.519,air\n1.785,rod\n1.65,rod + beads\n1.99,half rod\n",
		"|frequency [MHz],core\n2.519,-\n1.9,10 beads\n1.8,12 beads\n1.7,14 beads\n",
		"|frequency [MHz],core\n2.519,none\n1.9,R40 ferrite\n1.8,R33 ferrite\n2.9,brass\n",
		"|core,frequency [MHz]\nno core,2.519\nrod A,1.785\nrod B,1.79\nrod A+B,1.6\n",
		"|frequency [MHz],added [pF],note\n2.519,,1st\n1.613,4.7,\"windy, wet\"\n1.23,10,\"8\"\"\"\n",
		"|frequency [MHz],added [pF],note\n2.519,,3\n1.613,4.7,4\n1.23,10,5.5\n",
		"|frequency [kHz],added [pF],note\n888,22,1\n1059,10,2\n1230,5,3\n2519,,4\n",
		"|frequency [MHz],added [pF],amplitude [mV],quality factor\n2.519,,310,88\n1.613,4.7,260,81\n",
		"|frequency [MHz],added [pF],use\n2.519,,yes\n1.613,4.7,yes\n1.7,4.7,no\n",
		"|frequency [MHz],added [pF],added ± [%]\n2.519,,\n1.613,4.7,5\n1.23,10,1\n",
		"|frequency [MHz],added\n2.519,\n1.839,lantern roof\n1.378,lantern roof+4.7pF\n1.613,4.7pF\n",
		"|frequency [kHz],added [pF]\n35.1,\n31.2,15\n28.1,33\n22.9,100\n",
		"|frequency [MHz],added [pF]\n146.2,\n98.1,4.7\n76.5,10\n",
		"|frequency [kHz],added [nF]\n5.03,\n3.1,1\n2.2,3.3\n",
		"fewer digits|frequency [MHz],added [pF]\n2.5,\n2,2.2\n1.6,4.7\n1.2,10\n1,15\n",
		"|frequency [MHz],added [pF]\n2.52,\n2.52,\n2.51,\n1.61,4.7\n1.62,4.7\n",
		"|frequency [MHz],added [pF],core,covered [%],hand [cm],note\n2.519,,,,,\n1.613,4.7,,,,\n1.785,,rod,,,\n1.762,,rod,,10,\n2.104,,rod,30,,rod part way\n",
		"|added [pF],frequency [MHz],frequency ± [%]\n,2.519,0.03\n4.7,1.613,0.03\n10,1.23,0.05\n",
		"used|frequency [MHz],added [pF],weather\n2.519,,dry\n1.613,4.7,rain\n",
		"used|run,frequency [MHz],added [pF]\n1,2.519,\n2,1.613,4.7\n",
		"used|date,time of day,frequency [MHz],added [pF]\n2026-05-03,14:05,2.519,\n2026-05-03,14:20,1.613,4.7\n",
		"used|frequency [MHz],added [pF],temperature [°C],humidity [%]\n2.519,,21.5,40\n1.613,4.7,21.7,41\n",
		"used|frequency [MHz],added [pF],who\n2.519,,Ann\n1.613,4.7,Bo\n",
		"used|frequency [MHz],added [pF],scope setting\n2.519,,\"10 ns, 50 mV\"\n1.613,4.7,20 ns\n",
		"used|No.;f [MHz];added [pF];checked by\n1;2,519;;JK\n2;1,613;4,7;JK\n",
		"read as|f [MHz];C [pF];Kern\n2,519;;\n1,613;4,7;\n1,785;;Stab\n",
	}
}

// TestNoFalseAlarm: good logs are read without a warning of what may be wrong, and
// so are those of the project.
func TestNoFalseAlarm(t *testing.T) {
	logs, alarms := 0, 0
	check := func(name, content, expected string) {
		logs++
		l, err := Read(strings.NewReader(content), "log.csv", Options{})
		if err != nil {
			alarms++
			t.Errorf("%s: %v", name, err)
			return
		}
		for _, w := range l.Warnings {
			if expected == "" || !strings.Contains(w, expected) && !strings.Contains(w, "not used: column") && !strings.Contains(w, "read as") {
				alarms++
				t.Errorf("%s: %s", name, w)
			}
		}
	}
	for _, log := range goodLogs() {
		expected, content, _ := strings.Cut(log, "|")
		check(content, content, expected)
	}
	for _, pattern := range []string{"../../testdata/*.csv", "../../testdata/formats/log/*.csv"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			t.Fatal(pattern, err)
		}
		for _, file := range files {
			content := must.Get(os.ReadFile(file)).In(t)
			sheet := strings.Contains(string(content), "quantity,value")
			if strings.Contains(string(content), "frequency") && !sheet || strings.HasSuffix(filepath.Dir(file), "log") {
				check(file, string(content), "")
			}
		}
	}
	t.Logf("%d alarms in %d good logs", alarms, logs)
}
