package answer

import "seepwright/rules/source"

// SyntaxFault puts what the YAML library said about a file that is no YAML into bench words,
// with the right line. Readers of other files that a person writes use it too.
func SyntaxFault(file string, data []byte, err error) source.Findings {
	p := &reader{file: file}
	p.syntax(data, err)
	return p.findings
}
