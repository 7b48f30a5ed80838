namespace PatchLang.Scripting.Model;

/// <summary>One declared cable between two connectors.</summary>
public sealed class Cable : IPlaced
{
    private readonly Rig rig;
    private readonly Graph.Cable made;

    internal Cable(Rig rig, Graph.Cable made) => (this.rig, this.made) = (rig, made);

    /// <summary>The port it leaves.</summary>
    public Port From => rig.UnitOf(made.From.Device).PortOf(made.From.Socket);

    /// <summary>The port it arrives at.</summary>
    public Port To => rig.UnitOf(made.To.Device).PortOf(made.To.Socket);

    /// <summary>The channels at its start, going out.</summary>
    public IEnumerable<Channel> FromChannels => From.Outputs.Where(c => c.Point.Connector == made.From);

    /// <summary>The channels at its end, coming in.</summary>
    public IEnumerable<Channel> ToChannels => To.Inputs.Where(c => c.Point.Connector == made.To);

    /// <summary>How a plan writes it: <c>split.direct[1] -> rack.mic[1]</c>.</summary>
    public string Name => $"{made.From} -> {made.To}";

    /// <summary>What is written on it; null where nothing is.</summary>
    public string? Label => made.Label;

    /// <summary>The name of the format at its ends.</summary>
    public string Format => made.Format.Name;

    /// <summary>What it is made of: <c>twisted_pair</c>, <c>fibre</c>; null where nothing says.</summary>
    public string? Medium => made.Medium;

    /// <summary>Its length; null where nothing says.</summary>
    public Metres? Length => made.Length is { } metres ? new Metres(metres) : null;

    /// <summary>The name of the multicore it is a way of; null where it is none.</summary>
    public string? Loom => made.Loom?.Name;

    /// <summary>Its way in the multicore, from 1; null where it is in none.</summary>
    public int? Way => made.Loom is null ? null : made.Way;

    /// <summary>When it is plugged.</summary>
    public During During => new(rig, made.Acts);

    /// <summary>The signals that go over it.</summary>
    public IEnumerable<Signal> Carries => FromChannels.SelectMany(c => c.Carries).Where(s => s.Hops.Any(h => h.Cable == this)).Distinct();

    /// <summary>Where it is declared.</summary>
    public Place Place => new(rig.Plan.PlaceOf(made));

    /// <inheritdoc/>
    public override string ToString() => Name;
}
