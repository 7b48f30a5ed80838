namespace PatchLang.LanguageServer.Documents;

/// <summary>Documents by name: files on the disk, and what only the compiler has, under the scheme <c>patchlang:</c>.</summary>
internal static class DocumentUri
{
    public const string OwnScheme = "patchlang";

    private const string LibraryPrefix = "patchlang:/library/";
    private const string PagePrefix = "patchlang:/findings/";

    /// <summary>Where a file is on the disk; null if the document is no file.</summary>
    public static string? PathOf(string uri) =>
        Uri.TryCreate(uri, UriKind.Absolute, out var parsed) && parsed.IsFile && parsed.LocalPath is { Length: > 1 } path ? Path.GetFullPath(path) : null;

    /// <summary>The document of a file.</summary>
    public static string OfPath(string path)
    {
        var escaped = string.Join('/', path.Replace('\\', '/').Split('/').Select(Uri.EscapeDataString));
        return escaped.StartsWith('/') ? $"file://{escaped}" : $"file:///{escaped}";
    }

    /// <summary>The document of a file of the shipped library, such as <c>library/desks.rig</c>.</summary>
    public static string OfLibrary(string path) => $"{OwnScheme}:/{path}";

    /// <summary>The document that explains a finding.</summary>
    public static string OfPage(string code) => $"{PagePrefix}{code}.md";

    /// <summary>The path in the library that a document stands for, or null.</summary>
    public static string? LibraryPathOf(string uri) =>
        uri.StartsWith(LibraryPrefix, StringComparison.Ordinal) ? Uri.UnescapeDataString(uri[(OwnScheme.Length + 2)..]) : null;

    /// <summary>The code whose page a document is, or null.</summary>
    public static string? CodeOf(string uri) =>
        uri.StartsWith(PagePrefix, StringComparison.Ordinal) && uri.EndsWith(".md", StringComparison.Ordinal) ? uri[PagePrefix.Length..^3] : null;
}
