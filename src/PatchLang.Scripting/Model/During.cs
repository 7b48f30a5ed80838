using System.Collections;
using PatchLang.Declarations;

namespace PatchLang.Scripting.Model;

/// <summary>
/// When something holds: some acts of the plan, in order. A plan without acts has none to enumerate; everything holds all day.
/// </summary>
public readonly struct During : IEnumerable<Act>, IEquatable<During>
{
    private readonly Rig rig;

    internal During(Rig rig, ActSet acts) => (this.rig, Set) = (rig, acts & rig.Graph.Rig.AllActs);

    internal ActSet Set { get; }

    /// <summary>Whether it is empty.</summary>
    public bool IsNever => Set.IsEmpty;

    /// <summary>Whether it holds in every act.</summary>
    public bool IsAllDay => rig is not null && Set.Covers(rig.Graph.Rig.AllActs);

    /// <summary>The number of acts; 0 in a plan without acts.</summary>
    public int Count => rig is null || rig.Acts.Count == 0 ? 0 : Set.Count;

    /// <summary>Whether it includes an act.</summary>
    public bool Contains(Act act)
    {
        ArgumentNullException.ThrowIfNull(act);
        return Set.Meets(act.Set);
    }

    /// <summary>Whether there is a time at which both hold.</summary>
    public bool Overlaps(During other) => Set.Meets(other.Set);

    /// <summary>When both hold.</summary>
    public During And(During other) => new(rig ?? other.rig, Set & other.Set);

    /// <inheritdoc/>
    public IEnumerator<Act> GetEnumerator()
    {
        if (rig is null) yield break;
        foreach (var act in rig.Acts)
            if (Set.Meets(act.Set)) yield return act;
    }

    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();

    /// <inheritdoc/>
    public bool Equals(During other) => Set == other.Set && ReferenceEquals(rig, other.rig);

    /// <inheritdoc/>
    public override bool Equals(object? obj) => obj is During other && Equals(other);

    /// <inheritdoc/>
    public override int GetHashCode() => Set.GetHashCode();

    /// <summary>Whether they are the same acts.</summary>
    public static bool operator ==(During left, During right) => left.Equals(right);

    /// <summary>Whether they are not the same acts.</summary>
    public static bool operator !=(During left, During right) => !left.Equals(right);

    /// <summary><c>all day</c>, <c>never</c>, or the acts: <c>tide, ferry</c>.</summary>
    public override string ToString() => IsNever ? "never" : IsAllDay ? "all day" : string.Join(", ", this.Select(a => a.Name));
}
