namespace PatchLang.Facts;

/// <summary>When sound is at a place, in seconds after it was at its first source.</summary>
/// <param name="Earliest">The earliest of all that arrives; where something is unknown, no less than this.</param>
/// <param name="Latest">The latest of all that arrives; where something is unknown, no less than this.</param>
/// <param name="Unknown">The first edge on the way whose delay is unknown; −1 where something broken leads there, and null where all is known.</param>
public readonly record struct Arrival(double Earliest, double Latest, int? Unknown)
{
    /// <summary>Whether all of it is known.</summary>
    public bool IsKnown => Unknown is null;

    /// <summary>Whether it is unknown for something that has a finding of its own.</summary>
    public bool IsBroken => Unknown is -1;
}
