// Command seepwright finds out why a joint leaks, what to check next, and how to put it back
// so that it stays dry.
package main

import (
	"os"
	"runtime/debug"
)

func main() {
	collectSeldom()
	a := &app{in: os.Stdin, out: os.Stdout, err: os.Stderr, env: os.Getenv}
	os.Exit(a.run(os.Args[1:]))
}

// collectSeldom is for a run that lives for a fraction of a second and needs some tens of
// megabytes: collecting garbage on the way costs more than it saves.
func collectSeldom() { debug.SetGCPercent(800) }
