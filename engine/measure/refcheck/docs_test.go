package refcheck

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// formulas are the packages whose exported functions are formulas.
var formulas = []string{"gland", "flange", "hose", "leak", "fitting", "form", "ringsize", "uncertain"}

// origin is what the doc of a formula says of where it comes from.
var origin = regexp.MustCompile(`(?i)sources?:|standing|common practice|from memory|definition|see [A-Z]`)

// TestEveryFormulaSaysWhereItComesFrom reads the doc of every exported function that computes something: it has to say
// where the formula comes from, and some test or the catalogue has to use it.
func TestEveryFormulaSaysWhereItComesFrom(t *testing.T) {
	used := words(t, "..")
	seen := 0
	for _, pkg := range formulas {
		dir := filepath.Join("..", pkg)
		entries, err := os.ReadDir(dir)
		require.NoError(t, err)
		for _, e := range entries {
			if !strings.HasSuffix(e.Name(), ".go") || strings.HasSuffix(e.Name(), "_test.go") {
				continue
			}
			file, err := parser.ParseFile(token.NewFileSet(), filepath.Join(dir, e.Name()), nil, parser.ParseComments)
			require.NoError(t, err)
			for _, d := range file.Decls {
				f, ok := d.(*ast.FuncDecl)
				if !ok || !f.Name.IsExported() || f.Recv != nil || f.Type.Results == nil || len(f.Type.Params.List) == 0 {
					continue
				}
				seen++
				name := pkg + "." + f.Name.Name
				doc := f.Doc.Text()
				assert.Greater(t, len(doc), 20, "%s has no doc", name)
				if returnsError(f) {
					assert.Regexp(t, origin, doc, "the doc of %s does not say where the formula comes from", name)
				}
				assert.True(t, used[f.Name.Name], "no test names %s", name)
			}
		}
	}
	require.Greater(t, seen, 100)
}

// returnsError tells a formula with a domain from a plain conversion.
func returnsError(f *ast.FuncDecl) bool {
	last := f.Type.Results.List[len(f.Type.Results.List)-1]
	id, ok := last.Type.(*ast.Ident)
	return ok && id.Name == "error"
}

// words are all names that stand in test files and in the catalogue below a folder.
func words(t *testing.T, root string) map[string]bool {
	out := map[string]bool{}
	name := regexp.MustCompile(`[A-Z][A-Za-z0-9]*`)
	require.NoError(t, filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(p, "_test.go") {
			return err
		}
		text, err := os.ReadFile(p)
		for _, w := range name.FindAllString(string(text), -1) {
			out[w] = true
		}
		return err
	}))
	return out
}
