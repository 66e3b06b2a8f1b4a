// Command seepwright finds out why a joint leaks, what to check next, and how to put it back
// so that it stays dry.
package main

import "os"

func main() {
	a := &app{in: os.Stdin, out: os.Stdout, err: os.Stderr, env: os.Getenv}
	os.Exit(a.run(os.Args[1:]))
}
