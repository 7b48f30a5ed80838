using System.Numerics;

namespace PatchLang.Declarations;

/// <summary>
/// A set of acts. A plan has at most <see cref="Limit"/> acts; a plan without acts is checked as if it had a single unnamed one, so that
/// "in all acts" is never the empty set.
/// </summary>
public readonly record struct ActSet(ulong Bits)
{
    /// <summary>The most acts that a plan can have.</summary>
    public const int Limit = 64;

    /// <summary>No act.</summary>
    public static ActSet None => default;

    /// <summary>Whether it contains no act.</summary>
    public bool IsEmpty => Bits == 0;

    /// <summary>The number of acts.</summary>
    public int Count => BitOperations.PopCount(Bits);

    /// <summary>The lowest act number.</summary>
    public int First => BitOperations.TrailingZeroCount(Bits);

    /// <summary>The first <paramref name="count"/> acts.</summary>
    public static ActSet FirstOf(int count) => new(count >= Limit ? ulong.MaxValue : (1UL << count) - 1);

    /// <summary>The set of one act.</summary>
    public static ActSet Of(int act) => new(1UL << act);

    /// <summary>Whether it contains an act.</summary>
    public bool Has(int act) => (Bits >> act & 1) != 0;

    /// <summary>Whether it contains all of <paramref name="other"/>.</summary>
    public bool Covers(ActSet other) => (other.Bits & ~Bits) == 0;

    /// <summary>Whether the two have an act in common.</summary>
    public bool Meets(ActSet other) => (Bits & other.Bits) != 0;

    /// <summary>Each act as a set of its own, in order.</summary>
    public IEnumerable<ActSet> Each
    {
        get
        {
            for (var left = Bits; left != 0; left &= left - 1) yield return Of(BitOperations.TrailingZeroCount(left));
        }
    }

    /// <summary>The intersection.</summary>
    public static ActSet operator &(ActSet left, ActSet right) => new(left.Bits & right.Bits);

    /// <summary>The union.</summary>
    public static ActSet operator |(ActSet left, ActSet right) => new(left.Bits | right.Bits);

    /// <summary>The acts of the first that are not in the second.</summary>
    public static ActSet operator -(ActSet left, ActSet right) => new(left.Bits & ~right.Bits);
}
