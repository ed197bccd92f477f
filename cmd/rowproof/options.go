package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"strings"
)

// oneFile reads the options of a command that takes one file, which may stand
// before, between or behind them. Asked for help, it prints usage and answers
// flag.ErrHelp.
func oneFile(flags *flag.FlagSet, args []string, usage string, stderr io.Writer) (file string, err error) {
	flags.SetOutput(io.Discard)
	for rest := args; ; {
		if err := flags.Parse(rest); err != nil {
			if errors.Is(err, flag.ErrHelp) {
				fmt.Fprint(stderr, usage)
			}
			return "", err
		}
		if flags.NArg() == 0 {
			return file, nil
		}
		if file != "" {
			return "", fmt.Errorf("%s takes one file; %q is a second", flags.Name(), flags.Arg(0))
		}
		file, rest = flags.Arg(0), flags.Args()[1:]
	}
}

// sizeIndex finds a size by its name.
func sizeIndex(sizes []string, name string) (int, error) {
	for i, s := range sizes {
		if strings.EqualFold(s, name) {
			return i, nil
		}
	}
	return 0, fmt.Errorf("there is no size %q; there are %s", name, strings.Join(sizes, ", "))
}
