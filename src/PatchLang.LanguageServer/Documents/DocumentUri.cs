using System.Text.RegularExpressions;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Documents;

/// <summary>
/// URIs of documents: files on disk, and documents provided by the compiler, under the scheme <c>patchlang:</c> or, for clients that
/// can't request such documents, as a <see cref="ShippedCopies">copy</see> on disk.
/// </summary>
internal static partial class DocumentUri
{
    public const string OwnScheme = "patchlang";

    private const string LibraryPrefix = "patchlang:/library/";
    private const string PageFolder = "findings/";
    private const string PagePrefix = $"patchlang:/{PageFolder}";

    /// <summary>The path of a file on disk; null if the document is not a file, or is a copy of one provided by the compiler.</summary>
    public static string? PathOf(string uri) => AnyPathOf(uri) is { } path && ShippedCopies.LibraryFileAt(path) is null ? path : null;

    /// <summary>The URI of a file.</summary>
    public static string OfPath(string path)
    {
        var escaped = string.Join('/', path.Replace('\\', '/').Split('/').Select(Uri.EscapeDataString));
        return escaped.StartsWith('/') ? $"file://{escaped}" : $"file:///{escaped}";
    }

    /// <summary>The URI of a file of the shipped library.</summary>
    public static string OfLibrary(SourceText file, Client client) => OfShipped(file.Path, () => file.Content, client);

    /// <summary>The URI of the page that explains a finding.</summary>
    public static string OfPage(FindingKind kind, Client client) => OfShipped($"{PageFolder}{kind.Code}.md", () => FindingPages.Of(kind), client);

    /// <summary>The path in the library of a document, such as <c>library/desks.rig</c>; null if it is not in the library.</summary>
    public static string? LibraryPathOf(string uri) =>
        uri.StartsWith(LibraryPrefix, StringComparison.Ordinal) ? Uri.UnescapeDataString(uri[(OwnScheme.Length + 2)..])
        : AnyPathOf(uri) is { } path ? ShippedCopies.LibraryFileAt(path)
        : null;

    /// <summary>The code of the finding that a document explains, or null.</summary>
    public static string? CodeOf(string uri) =>
        uri.StartsWith(PagePrefix, StringComparison.Ordinal) && uri.EndsWith(".md", StringComparison.Ordinal) ? uri[PagePrefix.Length..^3] : null;

    private static string OfShipped(string name, Func<string> content, Client client) =>
        !client.FetchesContent && ShippedCopies.PathOf(name, content) is { } path ? OfPath(path) : $"{OwnScheme}:/{name}";

    /// <summary>The same name with the colon of a Windows drive as it is: clients send <c>file:///c%3A/plans</c>, which .NET takes for a folder called <c>c:</c>.</summary>
    internal static string WithPlainDrive(string uri) => EscapedDrive().Replace(uri, "${drive}:");

    private static string? AnyPathOf(string uri) =>
        Uri.TryCreate(OperatingSystem.IsWindows() ? WithPlainDrive(uri) : uri, UriKind.Absolute, out var parsed)
        && parsed.IsFile && parsed.LocalPath is { Length: > 1 } path && !path.Contains('\0', StringComparison.Ordinal) ? Path.GetFullPath(path) : null;

    [GeneratedRegex("^(?<drive>file:///[a-z])%3a(?=/)", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex EscapedDrive();
}
