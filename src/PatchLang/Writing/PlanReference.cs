using System.Globalization;

namespace PatchLang.Writing;

/// <summary>
/// A reference to a declaration, with the counts of gear: <c>Desk48</c>, <c>crew.Desk48</c>, <c>StageRack(32, 16)</c>. A string converts to the
/// reference of that name.
/// </summary>
public sealed class PlanReference
{
    private readonly string name;
    private readonly string counts;

    /// <param name="name">Its name, with an optional prefix.</param>
    /// <param name="counts">The values of the gear's parameters.</param>
    public PlanReference(string name, params ReadOnlySpan<int> counts)
    {
        this.name = Spelt.Reference(name);
        this.counts = "";
        foreach (var count in counts)
        {
            if (count < 0) throw new PlanWritingException($"{count} is no number of channels");
            this.counts += (this.counts.Length == 0 ? "(" : ", ") + count.ToString(CultureInfo.InvariantCulture);
        }
        if (this.counts.Length > 0) this.counts += ")";
    }

    /// <summary>The reference to a declaration by name.</summary>
    public static implicit operator PlanReference(string name) => new(name);

    /// <summary>The reference as written in a plan.</summary>
    public override string ToString() => name + counts;

    /// <summary>The reference as written where no counts are allowed.</summary>
    internal string AsName() => counts.Length == 0 ? name : throw new PlanWritingException($"`{this}` has counts, and none can stand here");
}
