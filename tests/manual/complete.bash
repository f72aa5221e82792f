# bash complete.bash FOLDER WORD...: prints what the words would be completed to, a line each.
# The function is called as bash(1), "Programmable Completion", says.
. "$1/drawtender.bash"
. "$1/drawtenderd.bash"
shift
COMP_WORDS=("$@")
COMP_CWORD=$(($# - 1))
"_$1"
[ ${#COMPREPLY[@]} -eq 0 ] || printf '%s\n' "${COMPREPLY[@]}"
