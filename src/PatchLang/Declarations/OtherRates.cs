namespace PatchLang.Declarations;

/// <summary>What a rate that is not the others' explains, in the words of <see cref="Draft.Causes"/> and <see cref="Draft.Explains"/>.</summary>
internal static class OtherRates
{
    /// <summary>That a unit runs at another rate than what it is joined to: what it carries at that rate nobody asks.</summary>
    public static string Of(UnitSymbol unit) => $"the rate of {unit.Name}";

    /// <summary>That a format is to run at a rate that it does not carry.</summary>
    public static string NotCarriedBy(FormatSymbol format) => $"a rate that {format.Name} does not carry";
}
