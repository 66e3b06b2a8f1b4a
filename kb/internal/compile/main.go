// Command compile writes the compiled form of the knowledge base beside its YAML. It is run
// by go generate ./kb, from the folder kb.
package main

import (
	"fmt"
	"os"
	"path/filepath"

	"seepwright/rules/load"
)

func main() {
	if err := run("."); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(dir string) error {
	files, err := load.Compile(os.DirFS(dir), "kb")
	if err != nil {
		return err
	}
	out := filepath.Join(dir, "compiled")
	if err := os.MkdirAll(out, 0o755); err != nil {
		return err
	}
	old, err := filepath.Glob(filepath.Join(out, "*.flat"))
	if err != nil {
		return err
	}
	for _, name := range old {
		if _, kept := files[filepath.Base(name[:len(name)-len(".flat")])]; !kept {
			if err := os.Remove(name); err != nil {
				return err
			}
		}
	}
	for folder, data := range files {
		if err := os.WriteFile(filepath.Join(out, folder+".flat"), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}
