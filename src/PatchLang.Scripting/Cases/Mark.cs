using System.Text.RegularExpressions;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Scripting.Cases;

/// <summary>
/// An expected finding, marked in a comment under the text that it concerns:
/// <code>
/// feed a : rack.mic[1] -> desk.aes[3]
/// //                      ^^^^^^^^^^^ PL0301 error: there is no channel 3
/// </code>
/// A span over several lines is marked under its first. An empty span is marked <c>|</c>. A span that begins in the first
/// two columns, which the comment's own <c>//</c> covers, is marked <c>//&lt;</c>, and its carets count from the start of the line.
/// If the message is omitted, it is not compared. A draft, <c>//! PL0301</c>, gives only the code and never passes: accepting fills in the rest.
/// </summary>
/// <param name="Line">The zero-based line of the marked text.</param>
/// <param name="Column">The start of the span in the line, in UTF-16 units.</param>
/// <param name="Length">The length of the span within the line, in UTF-16 units.</param>
/// <param name="Code">The finding's code.</param>
/// <param name="Severity">Its severity.</param>
/// <param name="Message">Its message; null if not stated.</param>
internal sealed partial record Mark(int Line, int Column, int Length, string Code, Severity Severity, string? Message)
{
    /// <summary>Whether this is only a draft: a code under a line.</summary>
    public bool IsDraft => Length < 0;

    /// <summary>Whether a finding, given as a mark, is the one that this mark expects.</summary>
    public bool Expects(Mark found) => found with { Message = Message is null ? null : found.Message } == this;

    /// <summary>The mark of a finding.</summary>
    public static Mark Of(Finding finding)
    {
        var (source, span) = (finding.Place.Source, finding.Place.Span);
        var (line, column) = source.PositionOf(span.Start);
        var length = Math.Min(span.Length, Math.Max(0, source.LineSpan(line).End - span.Start));
        return new Mark(line, column, length, finding.Code, finding.Severity, finding.Message);
    }

    /// <summary>Parses a line as a mark; null if it is none.</summary>
    /// <param name="line">The line, without its line break.</param>
    /// <param name="marked">The line of text that it is under.</param>
    public static Mark? Read(string line, int marked)
    {
        var match = Pattern().Match(line);
        if (!match.Success) return DraftPattern().Match(line) is { Success: true } draft ? new Mark(marked, 0, -1, draft.Groups["code"].Value, default, null) : null;
        var carets = match.Groups["carets"];
        var message = match.Groups["message"];
        return new Mark(
            marked,
            match.Groups["start"].Success ? 0 : carets.Index,
            carets.Value == "|" ? 0 : carets.Length,
            match.Groups["code"].Value,
            Enum.Parse<Severity>(match.Groups["severity"].Value, ignoreCase: true),
            message.Success ? message.Value : null);
    }

    /// <summary>The line of text for this mark.</summary>
    public override string ToString()
    {
        if (IsDraft) return $"//! {Code}";
        var carets = Length == 0 ? "|" : new string('^', Length);
        if (Column is 1) throw new NotSupportedException("A mark can't begin in the second column; indent the line by one more.");
        var lead = Column == 0 ? "//< " : "//" + new string(' ', Column - 2);
        var message = Message is null ? "" : ": " + Message;
        return $"{lead}{carets} {Code} {Severity.ToString().ToLowerInvariant()}{message}";
    }

    [GeneratedRegex(@"^//(?<start><)? *(?<carets>\^+|\|) (?<code>PL\d{4}) (?<severity>error|warning|note|hint)(: (?<message>.*))?$", RegexOptions.ExplicitCapture)]
    private static partial Regex Pattern();

    [GeneratedRegex(@"^//! (?<code>PL\d{4})$", RegexOptions.ExplicitCapture)]
    private static partial Regex DraftPattern();
}
