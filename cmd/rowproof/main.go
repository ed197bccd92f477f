// Command rowproof proves knitting patterns and serves the studio they are
// written, proved and published in.
package main

import (
	"fmt"
	"io"
	"os"
	"runtime/debug"
)

const usage = `Rowproof proves every row of a knitting pattern, at every size.

  rowproof check [--json] FILE     prove a manuscript (- reads standard input)
  rowproof print FILE -o OUT.pdf   print it; .txt and .html by the ending
  rowproof chart FILE -o OUT.svg   draw the symbol chart of a part
  rowproof picture FILE -o OUT.png draw how its fabric looks, from either side
  rowproof draft FORM --gauge 20x28 write a pattern from a gauge and sizes
  rowproof serve                   start the studio in the browser
  rowproof version                 say which program this is

rowproof COMMAND --help tells more.
`

func main() {
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// run carries out a command line and returns the exit code.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	if len(args) == 0 {
		fmt.Fprint(stderr, usage)
		return 2
	}
	switch command, rest := args[0], args[1:]; command {
	case "check":
		return check(rest, stdin, stdout, stderr)
	case "print":
		return printPattern(rest, stdin, stderr)
	case "chart":
		return drawChart(rest, stdin, stderr)
	case "picture":
		return drawPicture(rest, stdin, stderr)
	case "draft":
		return draftPattern(rest, stdin, stdout, stderr)
	case "serve":
		return serve(rest, stdout, stderr)
	case "version", "--version":
		fmt.Fprintln(stdout, "rowproof "+version())
		return 0
	case "help", "--help", "-h":
		fmt.Fprint(stdout, usage)
		return 0
	default:
		fmt.Fprintf(stderr, "rowproof: there is no command %q\n\n%s", command, usage)
		return 2
	}
}

// version is the module's version, or the commit it was built from.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	if v := info.Main.Version; v != "" && v != "(devel)" {
		return v
	}
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" && len(s.Value) >= 12 {
			return s.Value[:12]
		}
	}
	return "development"
}
