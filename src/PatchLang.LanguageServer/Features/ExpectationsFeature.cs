using System.Text.Json;
using PatchLang.Checks;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.LanguageServer.Transport;

namespace PatchLang.LanguageServer.Features;

/// <summary>The results of expectations: as data for clients that list them, and as a message for those that run a command.</summary>
internal static class ExpectationsFeature
{
    /// <summary>The command of the code lens above each expectation.</summary>
    public const string Command = "patchlang.runExpectations";

    public static ExpectationResult[] Answer(Snapshot snapshot, PlanQuestion question)
    {
        var results = new List<ExpectationResult>();
        foreach (var plan in PlansOf(snapshot, question.Uri))
            foreach (var expectation in plan.Compilation.Expectations)
                if (ResultOf(snapshot, plan, expectation) is var result && IsAsked(result, question)) results.Add(result);
        return [.. results];
    }

    /// <summary>Answers like the request, and also shows a summary.</summary>
    public static ExpectationResult[] Run(Snapshot snapshot, ExecuteCommandParams parameters, Connection connection)
    {
        if (parameters.Name != Command) throw new RefusedException(RefusedException.InvalidParams, $"there is no command {parameters.Name}");
        var results = Answer(snapshot, QuestionOf(parameters.Arguments));
        var isWell = Array.TrueForAll(results, r => r.State == ExpectationResult.Held || r.AllowedBecause is not null);
        _ = connection.Notify("window/showMessage", new ShowMessageParams(isWell ? MessageType.Info : MessageType.Warning, Summary(results)));
        return results;
    }

    /// <summary>The result in a few words, for the code lens.</summary>
    public static string Title(Expectation expectation) =>
        StateOf(expectation) + (expectation.FigureText is { } figure ? $": {figure}" : "") + (expectation.AllowedBecause is { } why ? $", allowed: {why}" : "");

    /// <summary>The plans that a document belongs to; all plans if no document is given.</summary>
    private static IEnumerable<LoadedPlan> PlansOf(Snapshot snapshot, string? uri) =>
        uri is null ? snapshot.Plans : snapshot.ViewsOf(uri).Select(v => v.Plan);

    private static bool IsAsked(ExpectationResult result, PlanQuestion question) =>
        question.Range is not { } range || (result.Uri == question.Uri && result.Range == range);

    private static ExpectationResult ResultOf(Snapshot snapshot, LoadedPlan plan, Expectation expectation)
    {
        var source = expectation.Place.Source;
        return new ExpectationResult(
            expectation.Text, snapshot.UriOf(plan, source), snapshot.Client.Positions.RangeOf(source, expectation.Place.Span), StateOf(expectation), snapshot.RootUriOf(plan))
        {
            Figure = expectation.FigureText,
            Message = expectation.Says,
            Code = expectation.Code,
            AllowedBecause = expectation.AllowedBecause,
            Acts = plan.Compilation.Acts.IsEmpty ? null : [.. plan.Compilation.Acts.Where(a => expectation.Acts.Has(a.Number)).Select(a => a.Name)],
        };
    }

    private static string StateOf(Expectation expectation) => expectation.State switch
    {
        ExpectationState.Held => ExpectationResult.Held,
        ExpectationState.Broken => ExpectationResult.Broken,
        _ => ExpectationResult.Undecided,
    };

    private static PlanQuestion QuestionOf(JsonElement[]? arguments)
    {
        if (arguments is not [var first, ..]) return new PlanQuestion();
        try
        {
            return first.Deserialize(ProtocolJson.Default.PlanQuestion) ?? new PlanQuestion();
        }
        catch (JsonException e)
        {
            throw new RefusedException(RefusedException.InvalidParams, $"the arguments can't be read: {e.Message}");
        }
    }

    private static string Summary(ExpectationResult[] results)
    {
        if (results.Length == 0) return "Nothing is expected here.";
        if (results is [var only]) return $"{only.Name}: {only.State}{(only.Figure is { } figure ? $", {figure}" : "")}{(only.Message is { } why ? $". {why}" : "")}";
        var counts = results.GroupBy(r => r.State).ToDictionary(g => g.Key, g => g.Count());
        var parts = new[] { ExpectationResult.Held, ExpectationResult.Broken, ExpectationResult.Undecided }.Where(counts.ContainsKey).Select(s => $"{counts[s]} {s}");
        var first = Array.Find(results, r => r.State == ExpectationResult.Broken && r.AllowedBecause is null) ?? Array.Find(results, r => r.State == ExpectationResult.Undecided);
        return $"Of {results.Length} promises {string.Join(", ", parts)}{(first is null ? "." : $". {first.Name}: {first.Message}")}";
    }
}
