using System.Globalization;

namespace PatchLang.Writing;

/// <summary>A declaration by its name, with the counts that gear takes: <c>Desk48</c>, <c>crew.Desk48</c>, <c>StageRack(32, 16)</c>. A text is a name.</summary>
public sealed class PlanReference
{
    private readonly string name;
    private readonly string counts;

    /// <param name="name">Its name, with perhaps a prefix.</param>
    /// <param name="counts">What the gear's counts are.</param>
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

    /// <summary>A declaration by its name.</summary>
    public static implicit operator PlanReference(string name) => new(name);

    /// <summary>As it is written.</summary>
    public override string ToString() => name + counts;

    /// <summary>As it is written where no counts can stand.</summary>
    internal string AsName() => counts.Length == 0 ? name : throw new PlanWritingException($"`{this}` has counts, and none can stand here");
}
