package main

import (
	"fmt"
	"io"
	"strings"
	"unicode"

	"fitcoil/ioformat/quantity"
)

func completionVerb() *verb {
	shells := []string{"bash", "zsh", "fish"}
	return &verb{
		name: "completion", args: "bash|zsh|fish", brief: "a script that completes commands in a shell",
		about: `
Prints a script for the shell named, made from the same table of flags as this
text. Put it where the shell looks for completions, for instance

  bash  ~/.local/share/bash-completion/completions/fitcoil
  zsh   a file _fitcoil in a folder of $fpath
  fish  ~/.config/fish/completions/fitcoil.fish`,
		example: []string{"fitcoil completion bash"},
		words:   shells, least: 1, most: 1,
		do: func(c *call) error {
			var script string
			switch shell := c.args[0]; shell {
			case "bash":
				script = bashCompletion()
			case "zsh":
				script = zshCompletion()
			case "fish":
				script = fishCompletion()
			default:
				return c.verb.usage(fmt.Sprintf("read %q, expected %s%s", shell, quantity.Listed(shells, "or"), meant(shell, shells, "")))
			}
			_, err := io.WriteString(c.out, script)
			return err
		},
	}
}

// takesFiles tells whether arguments of v name files: such are written in
// capitals.
func (v *verb) takesFiles() bool { return v.args != "" && unicode.IsUpper(rune(v.args[0])) }

// shownVerbs lists the verbs to complete, with help among them.
func shownVerbs() (list []*verb) {
	var names []string
	for _, v := range verbs() {
		if !v.hidden {
			list = append(list, v)
			names = append(names, v.name)
		}
	}
	return append(list, &verb{name: "help", args: "command", brief: "more about a command", words: names})
}

func bashCompletion() string {
	var names []string
	var values, flags, words strings.Builder
	for _, v := range shownVerbs() {
		names = append(names, v.name)
		long := "--help"
		for _, f := range v.flagTable() {
			long += " --" + f.name
			on := v.name + ":--" + f.name
			if f.short != "" {
				on += "|" + v.name + ":-" + f.short
			}
			if f.value != "" {
				fmt.Fprintf(&values, "\t%s) %sreturn ;;\n", on, bashValue(f))
			}
		}
		fmt.Fprintf(&flags, "\t\t%s) COMPREPLY=($(compgen -W '%s' -- \"$cur\")) ;;\n", v.name, long)
		space := ""
		if v.takesFiles() && v.words != nil {
			space = " compopt -o nospace;"
		}
		switch {
		case v.name == "predict":
			fmt.Fprintf(&words, "\t%s)%s _fitcoil_log predict ;;\n", v.name, space)
		case v.words != nil:
			fmt.Fprintf(&words, "\t%s)%s COMPREPLY=($(compgen -W '%s' -- \"$cur\")) ;;\n", v.name, space, strings.Join(v.words, " "))
		}
	}
	return `# bash completion of fitcoil, printed by: fitcoil completion bash
# The words of the log on the line: bash splits them at = and :, and nothing in
# them may be expanded.
_fitcoil_log() {
	local word sought=$cur cut= files=()
	for word in "${COMP_WORDS[@]:2}"; do
		[[ -f $word ]] && files+=("$word")
	done
	case $cur in
	= | :) sought=$prev$cur cut=$sought ;;
	esac
	case $prev in
	= | :) sought=${COMP_WORDS[COMP_CWORD-2]}$prev$cur cut=${COMP_WORDS[COMP_CWORD-2]}$prev ;;
	esac
	while IFS= read -r word; do
		if [[ $word == "$sought"* ]]; then
			word=${word#"$cut"}
			[[ $word ]] && COMPREPLY+=("$(printf %q "$word")")
		fi
	done < <(fitcoil complete "$1" -- "${files[@]}" 2> /dev/null)
}
_fitcoil() {
	local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]}
	COMPREPLY=()
	if [[ $COMP_CWORD -eq 1 ]]; then
		COMPREPLY=($(compgen -W '` + strings.Join(names, " ") + `' -- "$cur"))
		return
	fi
	if [[ $prev == : || $prev == = || $cur == : ]] && [[ ${COMP_WORDS[COMP_CWORD-2]} == --for || ${COMP_WORDS[COMP_CWORD-3]} == --for ]]; then
		_fitcoil_log for
		return
	fi
	case ${COMP_WORDS[1]}:$prev in
` + values.String() + `	esac
	if [[ $cur == -* ]]; then
		case ${COMP_WORDS[1]} in
` + flags.String() + `		esac
		return
	fi
	case ${COMP_WORDS[1]} in
` + words.String() + `	esac
	case ${COMP_WORDS[1]} in
	` + strings.Join(fileVerbs(), "|") + `)
		local IFS=$'\n'
		COMPREPLY+=($(compgen -f -- "$cur"))
		;;
	esac
}
complete -o filenames -F _fitcoil fitcoil
`
}

// bashValue completes the value of a flag.
func bashValue(f flagRow) string {
	switch {
	case f.name == "for":
		return "compopt -o nospace; _fitcoil_log for; "
	case f.choices != nil:
		return fmt.Sprintf("COMPREPLY=($(compgen -W '%s' -- \"$cur\")); ", strings.Join(f.choices, " "))
	case f.folder():
		return "local IFS=$'\\n'; COMPREPLY=($(compgen -d -- \"$cur\")); "
	case f.file():
		return "local IFS=$'\\n'; COMPREPLY=($(compgen -f -- \"$cur\")); "
	}
	return ""
}

func fileVerbs() (names []string) {
	for _, v := range shownVerbs() {
		if v.takesFiles() {
			names = append(names, v.name)
		}
	}
	return names
}

func zshCompletion() string {
	var list, cases strings.Builder
	for _, v := range shownVerbs() {
		fmt.Fprintf(&list, "\t\t%s\n", quoted(v.name+":"+v.brief))
		fmt.Fprintf(&cases, "\t%s)\n\t\t_arguments \\\n", v.name)
		for _, f := range v.flagTable() {
			fmt.Fprintf(&cases, "\t\t\t%s \\\n", quoted(zshFlag("--"+f.name, f)))
			if f.short != "" {
				fmt.Fprintf(&cases, "\t\t\t%s \\\n", quoted(zshFlag("-"+f.short, f)))
			}
		}
		rest := "*:argument:" + zshWords(v)
		if v.args == "" {
			rest = "-h[more about it]"
		}
		fmt.Fprintf(&cases, "\t\t\t'--help[more about it]' \\\n\t\t\t%s\n\t\t;;\n", quoted(rest))
	}
	return `#compdef fitcoil
# zsh completion of fitcoil, printed by: fitcoil completion zsh
_fitcoil() {
	local -a verbs
	verbs=(
` + list.String() + `	)
	if (( CURRENT == 2 )); then
		_describe command verbs
		return
	fi
	local verb=$words[2]
	shift words
	(( CURRENT-- ))
	case $verb in
` + cases.String() + `	esac
}
if [[ $funcstack[1] == _fitcoil ]]; then
	_fitcoil "$@"
else
	compdef _fitcoil fitcoil
fi
`
}

// zshWords is the action that completes an argument of v.
func zshWords(v *verb) string {
	switch words := strings.Join(v.words, " "); {
	case v.name == "predict":
		return "{ compadd -S '' -- ${(f)\"$(fitcoil complete predict -- ${words:#} 2> /dev/null)\"}; _files }"
	case v.takesFiles() && words != "":
		return "{ compadd -S '' -- " + words + "; _files }"
	case v.takesFiles():
		return "_files"
	default:
		return "(" + words + ")"
	}
}

func zshFlag(name string, f flagRow) string {
	s := name + "[" + strings.NewReplacer("[", "\\[", "]", "\\]").Replace(f.text) + "]"
	if f.several {
		s = "*" + s
	}
	switch {
	case f.value == "":
		return s
	case f.name == "for":
		return s + ":" + f.value + ":{ compadd -S '' -- ${(f)\"$(fitcoil complete for -- ${words:#} 2> /dev/null)\"} }"
	case f.choices != nil:
		return s + ":" + f.value + ":(" + strings.Join(f.choices, " ") + ")"
	case f.folder():
		return s + ":" + f.value + ":_files -/"
	case f.file():
		return s + ":" + f.value + ":_files"
	}
	return s + ":" + f.value + ": "
}

func fishCompletion() string {
	var b strings.Builder
	b.WriteString("# fish completion of fitcoil, printed by: fitcoil completion fish\n")
	for _, v := range shownVerbs() {
		fmt.Fprintf(&b, "complete -c fitcoil -n __fish_use_subcommand -f -a %s -d %s\n", v.name, fishQuoted(v.brief))
	}
	for _, v := range shownVerbs() {
		on := fmt.Sprintf("complete -c fitcoil -n '__fish_seen_subcommand_from %s'", v.name)
		if !v.takesFiles() {
			on += " -f"
		}
		switch {
		case v.name == "predict":
			fmt.Fprintf(&b, "%s -a '(fitcoil complete predict -- (commandline -opc) 2> /dev/null)'\n", on)
		case v.words != nil:
			fmt.Fprintf(&b, "%s -a %s\n", on, fishQuoted(strings.Join(v.words, " ")))
		}
		for _, f := range v.flagTable() {
			long := "-l " + f.name
			if f.short != "" {
				long += " -s " + f.short
			}
			fmt.Fprintf(&b, "%s %s%s -d %s\n", on, long, fishValue(f), fishQuoted(f.text))
		}
	}
	return b.String()
}

func fishValue(f flagRow) string {
	switch {
	case f.value == "":
		return ""
	case f.name == "for":
		return " -x -a '(fitcoil complete for -- (commandline -opc) 2> /dev/null)'"
	case f.choices != nil:
		return " -x -a " + fishQuoted(strings.Join(f.choices, " "))
	case f.folder():
		return " -x -a '(__fish_complete_directories)'"
	case f.file():
		return " -r -F"
	}
	return " -x"
}

// quoted puts text in the single quotes of a Bourne shell.
func quoted(text string) string { return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'" }

// fishQuoted puts text in the single quotes of fish.
func fishQuoted(text string) string {
	return "'" + strings.NewReplacer(`\`, `\\`, "'", `\'`).Replace(text) + "'"
}
