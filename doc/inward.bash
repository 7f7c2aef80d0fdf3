# SPDX-License-Identifier: MIT
# Completion of inward for bash: source this file, or put it where bash-completion looks for "inward".

_inward() {
	local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} command= files=0 i
	local commands="begin check choose compare day life map odds report serve why help version" options=
	COMPREPLY=()
	# bash splits at "=", so "--units=us" arrives as three words
	if [[ $before == = ]]; then
		before=${COMP_WORDS[COMP_CWORD-2]}
	elif [[ $word == = ]]; then
		word=
	fi
	case $before in
	--units)
		COMPREPLY=($(compgen -W "si us" -- "$word"))
		return
		;;
	--paper)
		COMPREPLY=($(compgen -W "a4 letter" -- "$word"))
		return
		;;
	--to)
		compopt -o filenames 2>/dev/null
		mapfile -t COMPREPLY < <(compgen -f -X '!*.pdf' -- "$word"; compgen -d -- "$word")
		return
		;;
	--picture)
		compopt -o filenames 2>/dev/null
		mapfile -t COMPREPLY < <(compgen -f -X '!*.@(svg|pdf|png)' -- "$word"; compgen -d -- "$word")
		return
		;;
	--keep | --resume | --write | --answers)
		compopt -o filenames 2>/dev/null
		mapfile -t COMPREPLY < <(compgen -f -- "$word")
		return
		;;
	--series)
		compopt -o filenames 2>/dev/null
		mapfile -t COMPREPLY < <(compgen -f -X '!*.csv' -- "$word"; compgen -d -- "$word")
		return
		;;
	esac
	for ((i = 1; i < COMP_CWORD; i++)); do
		case ${COMP_WORDS[i]} in
		--port | --address | --token | --rate | --units | --picture | --series | --of | --points | --width | --samples | --seed | --threads | --keep | --resume | --write | --to | --paper | --dated | --answers) ((i++)) ;;
		-* | =) ;;
		*)
			if [[ -z $command ]]; then
				command=${COMP_WORDS[i]}
			else
				((files++))
			fi
			;;
		esac
	done
	case $command in
	begin) options="--answers --units" ;;
	check) options="--full --json --units --picture" ;;
	choose) options="--write --full --json --units" ;;
	day | life) options="--full --json --series --picture --units" ;;
	compare) options="--full --json --units" ;;
	map) options="--of --sure --points --full --json --series --picture --units" ;;
	odds) options="--day --life --width --samples --seed --threads --independent --keep --resume --full --json --picture --units" ;;
	report) options="--to --life --units --paper --dated" ;;
	serve) options="--port --address --token --rate" ;;
	why) options="--units" ;;
	esac
	if [[ -z $command ]]; then
		COMPREPLY=($(compgen -W "$commands --help --version" -- "$word"))
	elif [[ $word == -* ]]; then
		COMPREPLY=($(compgen -W "$options --help" -- "$word"))
	elif [[ $command == help ]]; then
		COMPREPLY=($(compgen -W "$commands" -- "$word"))
	elif [[ $command =~ ^(begin|check|choose|day|life|map|odds|report|serve|why)$ && $files == 0 || $command == compare ]]; then
		compopt -o filenames 2>/dev/null
		mapfile -t COMPREPLY < <(compgen -f -X '!*.@(yaml|yml)' -- "$word"; compgen -d -- "$word")
	elif [[ $command == why && $files == 1 ]]; then
		COMPREPLY=($(compgen -W "list" -- "$word"))
	fi
}
shopt -q extglob || shopt -s extglob
complete -F _inward inward
