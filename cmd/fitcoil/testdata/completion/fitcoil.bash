# bash completion of fitcoil, printed by: fitcoil completion bash
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
		COMPREPLY=($(compgen -W 'fit predict next budget compare check log coil capture report completion version help' -- "$cur"))
		return
	fi
	if [[ $prev == : || $prev == = || $cur == : ]] && [[ ${COMP_WORDS[COMP_CWORD-2]} == --for || ${COMP_WORDS[COMP_CWORD-3]} == --for ]]; then
		_fitcoil_log for
		return
	fi
	case ${COMP_WORDS[1]}:$prev in
	fit:--tolerance) return ;;
	fit:--known) return ;;
	fit:--coil) local IFS=$'\n'; COMPREPLY=($(compgen -f -- "$cur")); return ;;
	fit:--known-from) local IFS=$'\n'; COMPREPLY=($(compgen -f -- "$cur")); return ;;
	fit:--plots) local IFS=$'\n'; COMPREPLY=($(compgen -d -- "$cur")); return ;;
	fit:--format) COMPREPLY=($(compgen -W 'svg png pdf' -- "$cur")); return ;;
	fit:--monte-carlo) return ;;
	fit:--seed) return ;;
	predict:--states) local IFS=$'\n'; COMPREPLY=($(compgen -f -- "$cur")); return ;;
	predict:--reach) return ;;
	predict:--by) COMPREPLY=($(compgen -W 'added covered hand' -- "$cur")); return ;;
	predict:--have) return ;;
	predict:--sweep) return ;;
	predict:--tolerance) return ;;
	predict:--known) return ;;
	predict:--coil) local IFS=$'\n'; COMPREPLY=($(compgen -f -- "$cur")); return ;;
	predict:--known-from) local IFS=$'\n'; COMPREPLY=($(compgen -f -- "$cur")); return ;;
	predict:--top-voltage) return ;;
	predict:--plots) local IFS=$'\n'; COMPREPLY=($(compgen -d -- "$cur")); return ;;
	predict:--format) COMPREPLY=($(compgen -W 'svg png pdf' -- "$cur")); return ;;
	next:--for) compopt -o nospace; _fitcoil_log for; return ;;
	next:--have) return ;;
	next:--how-many) return ;;
	next:--list) return ;;
	next:--tolerance) return ;;
	next:--known) return ;;
	next:--coil) local IFS=$'\n'; COMPREPLY=($(compgen -f -- "$cur")); return ;;
	next:--known-from) local IFS=$'\n'; COMPREPLY=($(compgen -f -- "$cur")); return ;;
	budget:--for) compopt -o nospace; _fitcoil_log for; return ;;
	budget:--tolerance) return ;;
	budget:--known) return ;;
	budget:--coil) local IFS=$'\n'; COMPREPLY=($(compgen -f -- "$cur")); return ;;
	budget:--known-from) local IFS=$'\n'; COMPREPLY=($(compgen -f -- "$cur")); return ;;
	compare:--tolerance) return ;;
	compare:--known) return ;;
	compare:--coil) local IFS=$'\n'; COMPREPLY=($(compgen -f -- "$cur")); return ;;
	check:--tolerance) return ;;
	check:--known) return ;;
	log:--have) return ;;
	log:--for) compopt -o nospace; _fitcoil_log for; return ;;
	log:--tolerance) return ;;
	log:--known) return ;;
	log:--coil) local IFS=$'\n'; COMPREPLY=($(compgen -f -- "$cur")); return ;;
	coil:--hand) return ;;
	coil:--top-voltage) return ;;
	coil:--plots) local IFS=$'\n'; COMPREPLY=($(compgen -d -- "$cur")); return ;;
	coil:--format) COMPREPLY=($(compgen -W 'svg png pdf' -- "$cur")); return ;;
	capture:--column) return ;;
	capture:--interval) return ;;
	capture:--timebase) return ;;
	capture:--row) return ;;
	capture:--append) local IFS=$'\n'; COMPREPLY=($(compgen -f -- "$cur")); return ;;
	capture:--plots) local IFS=$'\n'; COMPREPLY=($(compgen -d -- "$cur")); return ;;
	capture:--format) COMPREPLY=($(compgen -W 'svg png pdf' -- "$cur")); return ;;
	report:--output|report:-o) local IFS=$'\n'; COMPREPLY=($(compgen -f -- "$cur")); return ;;
	report:--tolerance) return ;;
	report:--known) return ;;
	report:--coil) local IFS=$'\n'; COMPREPLY=($(compgen -f -- "$cur")); return ;;
	report:--known-from) local IFS=$'\n'; COMPREPLY=($(compgen -f -- "$cur")); return ;;
	report:--top-voltage) return ;;
	report:--monte-carlo) return ;;
	report:--seed) return ;;
	esac
	if [[ $cur == -* ]]; then
		case ${COMP_WORDS[1]} in
		fit) COMPREPLY=($(compgen -W '--help --tolerance --known --coil --lumped --robust --known-from --new-bench --plots --format --force --full --json --quiet --csv --monte-carlo --profile --seed' -- "$cur")) ;;
		predict) COMPREPLY=($(compgen -W '--help --states --reach --by --have --sweep --tolerance --known --coil --lumped --robust --known-from --new-bench --top-voltage --plots --format --force --full --json --quiet --csv' -- "$cur")) ;;
		next) COMPREPLY=($(compgen -W '--help --for --have --how-many --list --tolerance --known --coil --lumped --robust --known-from --new-bench --full --json --quiet --csv' -- "$cur")) ;;
		budget) COMPREPLY=($(compgen -W '--help --for --tolerance --known --coil --lumped --robust --known-from --new-bench --full --json --quiet --csv' -- "$cur")) ;;
		compare) COMPREPLY=($(compgen -W '--help --tolerance --known --coil --lumped --robust --full --json --quiet --csv' -- "$cur")) ;;
		check) COMPREPLY=($(compgen -W '--help --tolerance --known --full --json --quiet --csv' -- "$cur")) ;;
		log) COMPREPLY=($(compgen -W '--help --new --have --for --tolerance --known --coil --lumped --robust --csv' -- "$cur")) ;;
		coil) COMPREPLY=($(compgen -W '--help --hand --top-voltage --plots --format --force --full --json --quiet --csv' -- "$cur")) ;;
		capture) COMPREPLY=($(compgen -W '--help --column --interval --timebase --row --append --plots --format --force --full --json --quiet --csv' -- "$cur")) ;;
		report) COMPREPLY=($(compgen -W '--help --output --tolerance --known --coil --lumped --robust --known-from --new-bench --top-voltage --monte-carlo --profile --seed --csv --force --quiet' -- "$cur")) ;;
		completion) COMPREPLY=($(compgen -W '--help' -- "$cur")) ;;
		version) COMPREPLY=($(compgen -W '--help' -- "$cur")) ;;
		help) COMPREPLY=($(compgen -W '--help' -- "$cur")) ;;
		esac
		return
	fi
	case ${COMP_WORDS[1]} in
	predict) compopt -o nospace; _fitcoil_log predict ;;
	completion) COMPREPLY=($(compgen -W 'bash zsh fish' -- "$cur")) ;;
	help) COMPREPLY=($(compgen -W 'fit predict next budget compare check log coil capture report completion version' -- "$cur")) ;;
	esac
	case ${COMP_WORDS[1]} in
	fit|predict|next|budget|compare|check|log|coil|capture|report)
		local IFS=$'\n'
		COMPREPLY+=($(compgen -f -- "$cur"))
		;;
	esac
}
complete -o filenames -F _fitcoil fitcoil
