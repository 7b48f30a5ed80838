using System.Numerics;

namespace PatchLang.Declarations;

/// <summary>
/// The acts in which something holds. A plan has at most <see cref="Limit"/> acts; one without acts is checked as
/// a single unnamed one, so that "all day" is never the empty set.
/// </summary>
public readonly record struct ActSet(ulong Bits)
{
    /// <summary>The most acts that a plan can have.</summary>
    public const int Limit = 64;

    /// <summary>No act.</summary>
    public static ActSet None => default;

    /// <summary>Whether it holds in no act.</summary>
    public bool IsEmpty => Bits == 0;

    /// <summary>The number of acts.</summary>
    public int Count => BitOperations.PopCount(Bits);

    /// <summary>The first act's number.</summary>
    public int First => BitOperations.TrailingZeroCount(Bits);

    /// <summary>The first <paramref name="count"/> acts.</summary>
    public static ActSet FirstOf(int count) => new(count >= Limit ? ulong.MaxValue : (1UL << count) - 1);

    /// <summary>One act.</summary>
    public static ActSet Of(int act) => new(1UL << act);

    /// <summary>Whether an act is among them.</summary>
    public bool Has(int act) => (Bits >> act & 1) != 0;

    /// <summary>Whether all of <paramref name="other"/> are among them.</summary>
    public bool Covers(ActSet other) => (other.Bits & ~Bits) == 0;

    /// <summary>Whether they share an act.</summary>
    public bool Meets(ActSet other) => (Bits & other.Bits) != 0;

    /// <summary>Each of the acts by itself, in order.</summary>
    public IEnumerable<ActSet> Each
    {
        get
        {
            for (var left = Bits; left != 0; left &= left - 1) yield return Of(BitOperations.TrailingZeroCount(left));
        }
    }

    /// <summary>The acts in both.</summary>
    public static ActSet operator &(ActSet left, ActSet right) => new(left.Bits & right.Bits);

    /// <summary>The acts in either.</summary>
    public static ActSet operator |(ActSet left, ActSet right) => new(left.Bits | right.Bits);

    /// <summary>The acts of the first that are not in the second.</summary>
    public static ActSet operator -(ActSet left, ActSet right) => new(left.Bits & ~right.Bits);
}
