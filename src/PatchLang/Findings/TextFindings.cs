namespace PatchLang.Findings;

/// <summary>PL01: what the parser can't read. Each kind is followed by the sentences it says.</summary>
public static class TextFindings
{
    /// <summary>PL0101: unexpected text.</summary>
    public static readonly FindingKind UnexpectedText = new("PL0101", Severity.Error, "unexpected text");

    /// <summary>PL0102: a line that opens no statement.</summary>
    public static readonly FindingKind UnreadableStatement = new("PL0102", Severity.Error, "a line that opens no statement");

    /// <summary>PL0103: a text in quotes is not closed.</summary>
    public static readonly FindingKind OpenString = new("PL0103", Severity.Error, "a text in quotes is not closed");

    /// <summary>PL0104: a comment is not closed.</summary>
    public static readonly FindingKind OpenComment = new("PL0104", Severity.Error, "a comment is not closed");

    /// <summary>PL0105: a character that has no meaning here.</summary>
    public static readonly FindingKind StrayCharacter = new("PL0105", Severity.Error, "a character that has no meaning here");

    /// <summary>PL0106: a reserved word used as a name.</summary>
    public static readonly FindingKind ReservedWord = new("PL0106", Severity.Error, "a reserved word used as a name");

    /// <summary>PL0107: a number without its unit.</summary>
    public static readonly FindingKind MissingUnit = new("PL0107", Severity.Error, "a number without its unit");

    /// <summary>PL0108: a number that can't be read.</summary>
    public static readonly FindingKind MalformedNumber = new("PL0108", Severity.Error, "a number that can't be read");

    /// <summary>PL0109: a statement too long to read.</summary>
    public static readonly FindingKind StatementTooLong = new("PL0109", Severity.Error, "a statement too long to read");

    /// <summary>PL0110: a file that is not text.</summary>
    public static readonly FindingKind UnreadableFile = new("PL0110", Severity.Error, "a file that is not text");
}
