package main

import (
	"fmt"
	"os"
	"path/filepath"

	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/lint"
	"seepwright/rules/load"
)

// overview is all that has to be known before the kind of joint is: see kb.Overview.
func (a *app) overview(folders []string) (*rules.Knowledge, error) {
	if len(folders) > 0 {
		return a.knowledge(folders) // an overlay may add a kind
	}
	k, err := kb.Overview()
	return k, fault(err)
}

// knowledge loads the built-in knowledge of the kinds in play (all when none is named) and
// lays the user's folders over it. With folders everything is loaded, because an overlay
// may touch any kind, and the whole is checked before it is used.
func (a *app) knowledge(folders []string, kinds ...string) (*rules.Knowledge, error) {
	if len(folders) == 0 {
		k, err := kb.Load(kinds...)
		return k, fault(err)
	}
	base, err := kb.Load()
	if err != nil {
		return nil, fault(err)
	}
	var list []load.Folder
	for _, f := range folders {
		st, err := os.Stat(f)
		if err != nil {
			return nil, fault(fmt.Errorf("--kb %s: %w", f, err))
		}
		if !st.IsDir() {
			return nil, fault(fmt.Errorf("--kb %s is a file; give the folder that holds it, such as %s", f, filepath.Dir(f)))
		}
		list = append(list, load.Folder{Name: filepath.ToSlash(filepath.Clean(f)), FS: os.DirFS(f)})
	}
	var places load.Places
	over, findings := load.Overlay(base, list, &places)
	if findings.Errors() > 0 {
		return nil, faults(findings)
	}
	return over, faults(lint.Check(over, lint.Options{Places: &places, Calculations: calculations(), Overlaid: true, Brief: true}))
}
