using System.Text.Json;
using PatchLang.Scripting.Protocol;
using PatchLang.Scripts;

// Answers go to the original standard output; what scripts print goes to standard error, so that it can't be mistaken for an answer.
using var answers = Answers.Open();
answers.Write(new ScriptReply(ReplySort.Ready) { IsShutIn = ShutIn.Close() });
using var input = Console.OpenStandardInput();
var request = JsonSerializer.Deserialize(input, ScriptJson.Default.ScriptRequest);
if (request is null) return 2;
RuleSession.Run(request, answers);
return 0;
