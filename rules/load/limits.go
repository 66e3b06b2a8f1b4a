package load

// Limits against hostile or mistaken folders. What exceeds one is a finding, never a hang.
const (
	MaxFile      = 1 << 20  // bytes of one file; the largest honest document has some 20 kB
	MaxTotal     = 64 << 20 // bytes of all files of one folder
	MaxDepth     = 30       // nesting inside one document
	MaxDocuments = 20000    // documents of one folder
	MaxFiles     = 20000    // files and folders below one folder
	MaxFindings  = 500      // findings after which the reader stops repeating itself
)
