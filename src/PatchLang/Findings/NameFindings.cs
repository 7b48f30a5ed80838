namespace PatchLang.Findings;

/// <summary>PL02: names and files. Each kind is followed by the sentences it says.</summary>
public static class NameFindings
{
    /// <summary>PL0201: unknown name.</summary>
    public static readonly FindingKind UnknownName = new("PL0201", Severity.Error, "unknown name");

    /// <summary>PL0202: the same name twice.</summary>
    public static readonly FindingKind DuplicateName = new("PL0202", Severity.Error, "the same name twice");

    /// <summary>PL0203: a name of another sort of thing.</summary>
    public static readonly FindingKind WrongSort = new("PL0203", Severity.Error, "a name of another sort of thing");

    /// <summary>PL0204: files that use each other in a circle.</summary>
    public static readonly FindingKind CircularUse = new("PL0204", Severity.Error, "files that use each other in a circle");

    /// <summary>PL0205: a used file that can't be read.</summary>
    public static readonly FindingKind FileNotFound = new("PL0205", Severity.Error, "a used file that can't be read");

    /// <summary>PL0206: a used file outside the plan's folder.</summary>
    public static readonly FindingKind FileOutside = new("PL0206", Severity.Error, "a used file outside the plan's folder");

    /// <summary>PL0207: a setting that means nothing here.</summary>
    public static readonly FindingKind UnknownSetting = new("PL0207", Severity.Warning, "a setting that means nothing here");

    /// <summary>PL0208: a setting's value that does not fit.</summary>
    public static readonly FindingKind WrongValue = new("PL0208", Severity.Error, "a setting's value that does not fit");

    /// <summary>PL0209: counts that do not fit the gear.</summary>
    public static readonly FindingKind WrongArguments = new("PL0209", Severity.Error, "counts that do not fit the gear");

    /// <summary>PL0210: no such element or side.</summary>
    public static readonly FindingKind UnknownElement = new("PL0210", Severity.Error, "no such element or side");

    /// <summary>PL0211: feeds that start from each other in a circle.</summary>
    public static readonly FindingKind CircularFeeds = new("PL0211", Severity.Error, "feeds that start from each other in a circle");

    /// <summary>PL0212: a bundle that holds itself.</summary>
    public static readonly FindingKind CircularBundle = new("PL0212", Severity.Error, "a bundle that holds itself");

    /// <summary>PL0213: the same signal twice in a bundle.</summary>
    public static readonly FindingKind RepeatedMember = new("PL0213", Severity.Error, "the same signal twice in a bundle");

    /// <summary>PL0214: an act in which the equipment is not there.</summary>
    public static readonly FindingKind ActReachesFurther = new("PL0214", Severity.Error, "an act in which the equipment is not there");

    /// <summary>PL0215: a statement that belongs in the root file alone.</summary>
    public static readonly FindingKind RootOnly = new("PL0215", Severity.Error, "a statement that belongs in the root file alone");

    /// <summary>PL0216: an edition of the language that this compiler does not know.</summary>
    public static readonly FindingKind UnknownEdition = new("PL0216", Severity.Error, "an edition of the language that this compiler does not know");

    /// <summary>PL0217: a definition that can't be made.</summary>
    public static readonly FindingKind CircularGear = new("PL0217", Severity.Error, "a definition that can't be made");
}
