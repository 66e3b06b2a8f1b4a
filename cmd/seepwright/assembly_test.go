package main

import (
	"bytes"
	"path"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/kb"
	"seepwright/rules/assembly"
)

func TestEveryUsualUnitIsAnAssemblyThatCanBeOpened(t *testing.T) {
	require.GreaterOrEqual(t, len(units()), 12)
	for _, name := range units() {
		data, err := unitFiles.ReadFile(path.Join("units", name+".yaml"))
		require.NoError(t, err)
		assert.True(t, strings.HasPrefix(string(data), "# "), "%s begins with what it is", name)
		asm, bad := assembly.Read(bytes.NewReader(data), name, kb.Kinds())
		require.Zero(t, bad.Errors(), "%s: %v", name, bad)
		assert.GreaterOrEqual(t, len(asm.Joints), 4, name)
		for _, j := range asm.Joints {
			assert.NotEqual(t, "unknown", j.Kind, "%s: %s has no kind", name, j.ID)
			assert.NotEmpty(t, asm.Path(j.ID), "%s: %s has no way to it", name, j.ID)
		}
	}
}
