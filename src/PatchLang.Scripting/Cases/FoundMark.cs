using PatchLang.Findings;

namespace PatchLang.Scripting.Cases;

/// <summary>A finding in the form of a mark.</summary>
/// <param name="Path">The file's path from the root's folder, or below <c>library/</c>.</param>
/// <param name="Mark">The mark that would expect the finding.</param>
internal sealed record FoundMark(string Path, Mark Mark)
{
    public static FoundMark Of(Finding finding) => new(finding.Place.Source.Path, Mark.Of(finding));

    public override string ToString() => $"{Path}:{Mark.Line + 1}:{Mark.Column + 1}: {Mark.Code} {Mark.Message}";
}
