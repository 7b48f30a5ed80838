namespace PatchLang.Declarations;

/// <summary>Keys (see <see cref="Draft.Causes"/> and <see cref="Draft.Explains"/>) for what a deviating sampling rate explains.</summary>
internal static class OtherRates
{
    /// <summary>A unit runs at another rate than what it is connected to, so what it could carry at that rate does not matter.</summary>
    public static string Of(UnitSymbol unit) => $"the rate of {unit.Name}";

    /// <summary>A format should run at a rate that it does not support.</summary>
    public static string NotCarriedBy(FormatSymbol format) => $"a rate that {format.Name} does not carry";
}
