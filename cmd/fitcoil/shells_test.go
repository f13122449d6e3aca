package main

import (
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// unquote cuts a command of a shell into words, by the quoting of zsh (a backslash outside of
// quotes only) or of fish (\\ and \' within them too). It fails where a quote stays open.
func unquote(line string, fish bool) (words []string, err error) {
	var word strings.Builder
	within, any := false, false
	for i := 0; i < len(line); i++ {
		switch c := line[i]; {
		case c == '\'':
			within, any = !within, true
		case c == '\\' && (!within || fish && i+1 < len(line) && strings.IndexByte(`\'`, line[i+1]) >= 0):
			i++
			word.WriteByte(line[i])
			any = true
		case c == ' ' && !within:
			if any {
				words = append(words, word.String())
			}
			word.Reset()
			any = false
		case !within && strings.IndexByte("$`\";&|<>(){}*?!#~[]", c) >= 0:
			return nil, fmt.Errorf("%q stands outside of quotes in %q", c, line)
		default:
			word.WriteByte(c)
			any = true
		}
	}
	if within {
		return nil, fmt.Errorf("a quote stays open in %q", line)
	}
	if any {
		words = append(words, word.String())
	}
	return words, nil
}

// offered is a flag that a completion offers.
type offered struct {
	text    string // its help
	value   bool   // it needs one
	several bool
	files   bool     // its values are files or folders
	choices []string // or one of these
}

// flagsOf are the flags of a verb, as the table that help prints has them.
func flagsOf(v *verb) map[string]offered {
	flags := map[string]offered{}
	for _, f := range v.flagTable() {
		o := offered{f.Text, f.Value != "", f.Several, f.Value == "folder" || f.Value == "file", f.Choices}
		flags["--"+f.Name] = o
		if f.Short != "" {
			flags["-"+f.Short] = o
		}
	}
	return flags
}

// compareFlags wants each flag of the verb once, with its help and what it takes.
func compareFlags(t *testing.T, v *verb, got, want map[string]offered) {
	t.Helper()
	for name, w := range want {
		if g, ok := got[name]; !ok {
			t.Errorf("%s: %s is not offered", v.name, name)
		} else if fmt.Sprint(g) != fmt.Sprint(w) {
			t.Errorf("%s: %s is offered as %+v, want %+v", v.name, name, g, w)
		}
	}
	for name := range maps.Keys(got) {
		if _, ok := want[name]; !ok {
			t.Errorf("%s: offers %s, which it doesn't take", v.name, name)
		}
	}
}

// zshSpec reads what _arguments is told of a flag: *--name[help]:value:action.
func zshSpec(spec string) (name string, o offered) {
	spec, o.several = strings.CutPrefix(spec, "*")
	name, rest, _ := strings.Cut(spec, "[")
	at := 0
	for ; at < len(rest) && rest[at] != ']'; at++ {
		if rest[at] == '\\' {
			at++
		}
		o.text += rest[at : at+1]
	}
	if parts := strings.SplitN(rest[min(at+1, len(rest)):], ":", 3); len(parts) == 3 {
		o.value, o.files = parts[1] != "", strings.HasPrefix(parts[2], "_files")
		if list, ok := strings.CutPrefix(parts[2], "("); ok {
			o.choices = strings.Fields(strings.TrimSuffix(list, ")"))
		}
	}
	return name, o
}

// Each verb offers zsh its flags, all of them once, and what its arguments are.
func TestZshOffersTheFlags(t *testing.T) {
	script := completion("zsh")
	_, list, _ := strings.Cut(script, "verbs=(\n")
	list, _, _ = strings.Cut(list, "\t)\n")
	told := must.Get(unquote(strings.Join(strings.Fields(list), " "), false)).In(t)
	for i, v := range shownVerbs() {
		if i >= len(told) || told[i] != v.name+":"+v.brief {
			t.Errorf("%s is not in %q", v.name, told)
		}
		_, body, _ := strings.Cut(script, "\n\t"+v.name+")\n\t\t_arguments ")
		body, _, ok := strings.Cut(body, "\n\t\t;;\n")
		specs, err := unquote(strings.NewReplacer("\\\n", " ", "\t", " ").Replace(body), false)
		if err != nil || !ok || len(specs) < 2 {
			t.Errorf("%s: %q, %v", v.name, specs, err)
			continue
		}
		got := map[string]offered{}
		for _, spec := range specs[:len(specs)-2] {
			name, o := zshSpec(spec)
			if _, twice := got[name]; twice {
				t.Errorf("%s: %s twice", v.name, name)
			}
			got[name] = o
		}
		compareFlags(t, v, got, flagsOf(v))
		help, rest := specs[len(specs)-2], specs[len(specs)-1]
		if help != "--help[more about it]" || strings.HasPrefix(rest, "*:argument:") != (v.args != "") ||
			strings.Contains(rest, "_files") != v.takesFiles() {
			t.Errorf("%s: %q and %q", v.name, help, rest)
		}
		for _, w := range v.words {
			if v.name != "predict" && !strings.Contains(rest, w) {
				t.Errorf("%s: %q lacks %s", v.name, rest, w)
			}
		}
	}
}

// So it is with fish, whose script is a command for each flag.
func TestFishOffersTheFlags(t *testing.T) {
	got, seen := map[string]map[string]offered{}, map[string]string{}
	for _, line := range strings.Split(strings.TrimSpace(completion("fish")), "\n")[1:] {
		words, err := unquote(line, true)
		if err != nil || !slices.Equal(words[:4], []string{"complete", "-c", "fitcoil", "-n"}) {
			t.Fatalf("%q: %v", line, err)
		}
		on, isFlag := strings.CutPrefix(words[4], "__fish_seen_subcommand_from ")
		var o offered
		var names []string
		offers, files := "", true
		for i := 5; i < len(words); i++ {
			switch words[i] {
			case "-x":
				o.value, files = true, false
			case "-r":
				o.value = true
			case "-f":
				files = false
			case "-F":
				o.files = true
			case "-l", "-s":
				names = append(names, map[string]string{"-l": "--", "-s": "-"}[words[i]]+words[i+1])
				i++
			case "-d":
				o.text = words[i+1]
				i++
			case "-a":
				offers = words[i+1]
				i++
			default:
				t.Errorf("%q: what is %q?", line, words[i])
			}
		}
		switch {
		case !isFlag:
			seen[offers] = o.text
			continue
		case names == nil && offers[0] != '(':
			seen["words of "+on] = fmt.Sprint(strings.Fields(offers), files)
			continue
		case offers == "(__fish_complete_directories)":
			o.files = true
		case offers != "" && offers[0] != '(':
			o.choices = strings.Fields(offers)
		}
		if got[on] == nil {
			got[on] = map[string]offered{}
		}
		for _, name := range names {
			if _, twice := got[on][name]; twice {
				t.Errorf("%s: %s twice", on, name)
			}
			got[on][name] = o
		}
	}
	for _, v := range shownVerbs() {
		if seen[v.name] != v.brief {
			t.Errorf("%s is offered as %q", v.name, seen[v.name])
		}
		if v.words != nil && v.name != "predict" {
			if text := fmt.Sprint(v.words, v.takesFiles()); seen["words of "+v.name] != text {
				t.Errorf("%s: offers %s, want %s", v.name, seen["words of "+v.name], text)
			}
		}
		want := flagsOf(v)
		for name, o := range want { // fish is not told which may be given again
			o.several = false
			want[name] = o
		}
		compareFlags(t, v, got[v.name], want)
	}
}

// What a shell makes of its script: the lines that asking prints.
func shellOffers(t *testing.T, shell, script, asking string) []string {
	t.Helper()
	if _, err := exec.LookPath(shell); err != nil {
		t.Skip(shell + " is not installed")
	}
	inDemo(t)
	bin := programAsFitcoil(t)
	file := filepath.Join(bin, "script")
	must.Do(t, os.WriteFile(file, []byte(script), 0o666))
	cmd := exec.Command(shell, "-c", strings.ReplaceAll(asking, "SCRIPT", file))
	cmd.Env = append(os.Environ(), "HOME="+bin, "LANG=C.UTF-8")
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return strings.Split(strings.TrimSpace(string(out)), "\n")
}

// programAsFitcoil puts this program, which runs as fitcoil under that name, first in PATH.
func programAsFitcoil(t *testing.T) (bin string) {
	t.Helper()
	program := must.Get(os.Executable()).In(t)
	bin = t.TempDir()
	if err := os.Symlink(program, filepath.Join(bin, "fitcoil")); err != nil {
		t.Skip(err)
	}
	t.Setenv("PATH", bin+string(os.PathListSeparator)+os.Getenv("PATH"))
	return bin
}

// zsh itself hands the flags to _arguments, and fish itself offers them.
func TestZshCompletion(t *testing.T) {
	got := shellOffers(t, "zsh", completion("zsh"), `compdef() { : }
_arguments() { print -rl -- "$@" }
_describe() { print -rl -- "${verbs[@]}" }
source SCRIPT
words=(fitcoil predict); CURRENT=3; _fitcoil
words=(fitcoil ""); CURRENT=2; _fitcoil`)
	for _, v := range verbs() {
		if v.hidden {
			continue
		}
		if !slices.Contains(got, v.name+":"+v.brief) {
			t.Errorf("without %s: %q", v.name, got)
		}
		if v.name != "predict" {
			continue
		}
		for _, f := range v.flagTable() {
			if !slices.Contains(got, zshFlag("--"+f.Name, f)) {
				t.Errorf("without --%s: %q", f.Name, got)
			}
		}
	}
}

func TestFishCompletion(t *testing.T) {
	const typed = `source SCRIPT
for line in 'fitcoil ' 'fitcoil budget --' 'fitcoil fit --format ' 'fitcoil predict lighthouse.csv core=r' 'fitcoil next lighthouse.csv --for gain'
	complete -C $line
end`
	got := shellOffers(t, "fish", completion("fish"), typed)
	want := []string{"core=rod"}
	for _, v := range verbs() {
		if v.hidden {
			continue
		}
		want = append(want, v.name+"\t"+v.brief)
		for _, f := range v.flagTable() {
			switch {
			case v.name == "budget":
				want = append(want, "--"+f.Name+"\t"+f.Text)
			case v.name == "next" && f.Name == "for":
				want = append(want, "gain:rod\t"+f.Text)
			case v.name == "fit":
				for _, c := range f.Choices {
					want = append(want, c+"\t"+f.Text)
				}
			}
		}
	}
	for _, w := range want {
		if !slices.Contains(got, w) {
			t.Errorf("without %q: %q", w, got)
		}
	}
}

// Help with a quote, a backslash or brackets in it, which none has yet, stays whole.
func TestHelpIsQuoted(t *testing.T) {
	const text = `a coil's [range], in \ or ]`
	words, err := unquote(quoted(zshFlag("--x", flagRow{Name: "x", Text: `a coil's [range]`})), false)
	if name, o := zshSpec(words[0]); err != nil || name != "--x" || o.text != `a coil's [range]` {
		t.Errorf("zsh: %q, %v", words, err)
	}
	if words, err := unquote(fishQuoted(text), true); err != nil || len(words) != 1 || words[0] != text {
		t.Errorf("fish: %q, %v", words, err)
	}
}

// A shell takes brackets in the text of a flag for its own, and a flag with several values again.
func TestFlagsForZsh(t *testing.T) {
	for want, f := range map[string]flagRow{
		"--hand[a hand]": {Text: "a hand"}, `--hand[a \[big\] hand]`: {Text: "a [big] hand"}, "*--hand[a hand]": {Text: "a hand", Several: true},
		"--hand[a hand]:format:(svg png)": {Text: "a hand", Value: "format", Choices: []string{"svg", "png"}},
		"--hand[a hand]:folder:_files -/": {Text: "a hand", Value: "folder"}, "*--hand[a hand]:file:_files": {Text: "a hand", Value: "file", Several: true},
		"--hand[a hand]:distance: ": {Text: "a hand", Value: "distance"},
	} {
		if got := zshFlag("--hand", f); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for want, c := range map[string]command{
		"*:argument:_files": {Name: "fit", Files: true}, "*:argument:(bash zsh)": {Name: "completion", Words: []string{"bash", "zsh"}}, "-h[more about it]": {Name: "man"},
	} {
		if got := zshArgument(c); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
