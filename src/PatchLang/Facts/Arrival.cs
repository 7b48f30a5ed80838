namespace PatchLang.Facts;

/// <summary>When sound arrives at a place, in seconds after it left its first source.</summary>
/// <param name="Earliest">The earliest arrival; if a delay is unknown, a lower bound.</param>
/// <param name="Latest">The latest arrival; if a delay is unknown, a lower bound.</param>
/// <param name="Unknown">The first edge on the way with an unknown delay; −1 if something broken leads there, null if everything is known.</param>
public readonly record struct Arrival(double Earliest, double Latest, int? Unknown)
{
    /// <summary>Whether it is fully known.</summary>
    public bool IsKnown => Unknown is null;

    /// <summary>Whether it is unknown because of something that has a finding of its own.</summary>
    public bool IsBroken => Unknown is -1;
}
