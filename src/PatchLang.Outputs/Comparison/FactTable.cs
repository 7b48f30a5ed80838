using System.Runtime.InteropServices;
using PatchLang.Findings;

namespace PatchLang.Outputs.Comparison;

/// <summary>What a fact is about.</summary>
internal readonly record struct FactKey(ChangeKind Kind, string Subject, string Aspect = "");

/// <summary>What a plan states for some acts.</summary>
/// <param name="Value">The value, in words.</param>
/// <param name="Slots">The acts, as bits.</param>
/// <param name="Where">Finds its place in the plan.</param>
internal readonly record struct Held(string Value, UInt128 Slots, Func<Place> Where);

/// <summary>A fact that differs, in acts in which the difference is the same.</summary>
internal readonly record struct Difference(FactKey Key, string? Was, string? Now, UInt128 Slots, Place? OldPlace, Place? NewPlace);

/// <summary>The facts of one plan, by what they are about.</summary>
internal sealed class FactTable
{
    private readonly Dictionary<FactKey, object> facts = [];

    /// <summary>Adds a fact. The same value in further acts extends the entry.</summary>
    public void Add(ChangeKind kind, string subject, string aspect, string value, UInt128 slots, Func<Place> where)
    {
        if (slots == 0) return;
        ref var known = ref CollectionsMarshal.GetValueRefOrAddDefault(facts, new FactKey(kind, subject, aspect), out _);
        var held = new Held(value, slots, where);
        switch (known)
        {
            case null: known = held; break;
            case Held one: known = new List<Held> { one, held }; break;
            case List<Held> many: many.Add(held); break;
        }
    }

    /// <summary>The differences between two plans.</summary>
    /// <param name="old">The facts of the old plan.</param>
    /// <param name="new">The facts of the new plan.</param>
    /// <param name="common">The acts that both plans have.</param>
    public static IEnumerable<Difference> Compare(FactTable old, FactTable @new, UInt128 common)
    {
        foreach (var (key, was) in old.facts)
        {
            var now = @new.facts.GetValueOrDefault(key);
            if (was is Held a && now is Held b && a.Value == b.Value && ((a.Slots ^ b.Slots) & common) == 0) continue;
            foreach (var difference in Compare(key, Of(was), Of(now), common)) yield return difference;
        }
        foreach (var (key, now) in @new.facts)
            if (!old.facts.ContainsKey(key))
                foreach (var difference in Compare(key, [], Of(now), common)) yield return difference;
    }

    private static IEnumerable<Difference> Compare(FactKey key, List<Held> was, List<Held> now, UInt128 common)
    {
        var found = new Dictionary<(string?, string?), (UInt128 Slots, Held? Was, Held? Now)>();
        var slots = was.Concat(now).Aggregate(UInt128.Zero, (s, h) => s | h.Slots);
        for (var slot = UInt128.One; slot != 0 && slot <= slots; slot <<= 1)
        {
            if ((slots & slot) == 0) continue;
            var (before, after) = (In(was, slot), In(now, slot));
            if (before?.Value == after?.Value) continue;
            // For an act that only one plan has, a value that the other has in any act is no difference.
            if ((common & slot) == 0 && ((before is { } b && now.Exists(h => h.Value == b.Value)) || (after is { } a && was.Exists(h => h.Value == a.Value)))) continue;
            ref var known = ref CollectionsMarshal.GetValueRefOrAddDefault(found, (before?.Value, after?.Value), out _);
            known = (known.Slots | slot, known.Was ?? before, known.Now ?? after);
        }
        foreach (var ((before, after), (acts, old, @new)) in found) yield return new Difference(key, before, after, acts, old?.Where(), @new?.Where());
    }

    /// <summary>What is stated for an act; a broken plan may state several values, which are joined.</summary>
    private static Held? In(List<Held> all, UInt128 slot)
    {
        Held? found = null;
        foreach (var held in all)
        {
            if ((held.Slots & slot) == 0 || found?.Value == held.Value) continue;
            found = found is not { } first ? held
                : first with { Value = string.Join(" and ", first.Value.Split(" and ").Append(held.Value).Distinct().Order(StringComparer.Ordinal)) };
        }
        return found;
    }

    private static List<Held> Of(object? facts) => facts switch { Held one => [one], List<Held> many => many, _ => [] };
}
